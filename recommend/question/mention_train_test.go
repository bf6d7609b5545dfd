package question

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"slices"
	"sort"
	"strings"
	"testing"
)

// raw is a mention before any rule has spoken.
type raw struct {
	kind     mentionKind
	from, to int
	own      string
	values   []float64 // what a number would give
}

// rawMentions lists everything that could fill a slot.
func (r *reading) rawMentions() []raw {
	var out []raw
	for i := range r.quantities {
		q := &r.quantities[i]
		add := func(k mentionKind, v ...float64) {
			out = append(out, raw{kind: k, from: q.from, to: q.to, own: "u" + q.unit, values: v})
		}
		switch q.unit {
		case "min":
			if q.value >= leastTrip && q.value <= mostTrip {
				add(mentionTrip, q.value, q.value/2)
			}
		case "mph":
			add(mentionSpeed, q.value*kilometresPerMile)
		case "kmh":
			add(mentionSpeed, q.value)
		case "money":
			add(mentionBudget, q.value)
		case "mm", "cm", "in":
			if v := q.low * millimetres(q.unit); v >= leastRoom && v <= mostRoom {
				add(mentionRoom, v)
			}
		case "K":
			v := q.value
			if v < 20 {
				v *= 1000
			}
			add(mentionColour, v)
		case "":
			if q.value >= leastBare && q.value <= 1000 {
				add(mentionBudget, q.value)
			}
			if q.value >= bareFrom && q.value <= bareTo {
				add(mentionSpeed, q.value, q.value*kilometresPerMile)
			}
			if q.value >= leastTrip && q.value <= 240 {
				add(mentionTrip, q.value)
			}
		}
	}
	return out
}

var mentionSlot = [mentionKinds]string{"trip_min", "speed_kmh", "budget", "rear_clearance_mm", "cct_k"}

// verdict is whether the label states the mention; ok is false where the label leaves it open.
func (m raw) verdict(l labelled) (right, ok bool) {
	name := mentionSlot[m.kind]
	if slices.Contains(l.Open, name) {
		return false, false
	}
	var u struct {
		Budget struct{ Amount float64 }
		Rear   float64 `json:"rear_clearance_mm"`
		Trip   float64 `json:"trip_min"`
		Speed  float64 `json:"speed_kmh"`
		Colour float64 `json:"cct_k"`
	}
	b, _ := json.Marshal(l.Understood)
	if err := json.Unmarshal(b, &u); err != nil {
		panic(err)
	}
	has := func(want, tol float64) bool {
		for _, v := range m.values {
			if want > 0 && math.Abs(v-want) <= tol {
				return true
			}
		}
		return false
	}
	switch m.kind {
	case mentionTrip:
		right = has(u.Trip, 0.01)
		if !right && u.Trip > m.values[0] { // perhaps a stage
			return false, false
		}
		return right, true
	case mentionSpeed:
		return has(u.Speed, 1), true
	case mentionBudget:
		return has(u.Budget.Amount, 0.01), true
	case mentionRoom:
		return has(u.Rear, 1), true
	case mentionColour:
		return has(u.Colour, 1), true
	}
	return false, false
}

type mentionLesson struct {
	set    *mentionSet
	right  bool
	weight float64
	line   int
	text   string
}

func mentionLessons(t testing.TB, r *Reader, files []string) [mentionKinds][]mentionLesson {
	var out [mentionKinds][]mentionLesson
	line := 0
	for _, f := range files {
		for _, l := range readSet(t, f) {
			line++
			q := r.start(l.Q)
			for _, m := range q.rawMentions() {
				right, ok := m.verdict(l)
				if !ok {
					continue
				}
				out[m.kind] = append(out[m.kind], mentionLesson{q.mentionFeatures(m.from, m.to, m.own), right, 1, line, l.Q[q.toks[m.from].from:q.toks[m.to-1].to] + " | " + l.Q})
			}
		}
	}
	return out
}

func trainMention(all []mentionLesson, w []float64) {
	moved := make([]float64, len(w))
	state := uint64(20261201)
	order := make([]int, len(all))
	for i := range order {
		order[i] = i
	}
	for range 20 {
		for i := len(order) - 1; i > 0; i-- {
			state = state*6364136223846793005 + 1442695040888963407
			j := int(state>>33) % (i + 1)
			order[i], order[j] = order[j], order[i]
		}
		for _, n := range order {
			l := &all[n]
			scale := 1 / math.Sqrt(float64(len(l.set.list)+1))
			z := 0.0
			for _, at := range l.set.list {
				z += w[at]
			}
			want := 0.0
			if l.right {
				want = 1
			}
			z = max(-30, min(30, float64(z*scale)))
			g := float64(l.weight * (1/(1+kindExp(-z)) - want) * scale)
			for _, at := range l.set.list {
				d := g + float64(1e-4*w[at])
				moved[at] += float64(d * d)
				w[at] -= float64(0.2*d) / (math.Sqrt(moved[at]) + 1e-6)
			}
		}
	}
}

// TestMentionFolds: EXPERIMENT
func TestMentionFolds(t *testing.T) {
	if os.Getenv("MENTION") == "" {
		t.Skip()
	}
	r := newReader(t)
	all := mentionLessons(t, r, labelledFiles(t))
	var outside [mentionKinds][]mentionLesson
	if x := os.Getenv("QUESTION_SETS"); x != "" {
		outside = mentionLessons(t, r, strings.Split(x, ":"))
	}
	for k := range all {
		type pr struct {
			p     float64
			right bool
			text  string
		}
		var ps []pr
		for fold := range 5 {
			var train, test []mentionLesson
			for _, l := range all[k] {
				if l.line%5 == fold {
					test = append(test, l)
				} else {
					train = append(train, l)
				}
			}
			w := make([]float64, mentionBuckets)
			trainMention(train, w)
			for _, l := range test {
				ps = append(ps, pr{believedBy(l.set, w), l.right, l.text})
			}
		}
		report := func(name string, ps []pr) {
			pos := 0
			for _, p := range ps {
				if p.right {
					pos++
				}
			}
			line := fmt.Sprintf("%-16s %-8s n %5d right %5d:", mentionSlot[k], name, len(ps), pos)
			for _, tau := range []float64{0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9} {
				lost, kept := 0, 0
				for _, p := range ps {
					if p.right && p.p < tau {
						lost++
					}
					if !p.right && p.p >= tau {
						kept++
					}
				}
				line += fmt.Sprintf("  %.1f: %d-%d", tau, lost, kept)
			}
			t.Log(line)
		}
		report("folds", ps)
		if len(outside[k]) > 0 {
			w := make([]float64, mentionBuckets)
			trainMention(all[k], w)
			var os []pr
			for _, l := range outside[k] {
				os = append(os, pr{believedBy(l.set, w), l.right, l.text})
			}
			report("outside", os)
			if testing.Verbose() && false {
				sort.Slice(os, func(a, b int) bool { return os[a].p < os[b].p })
			}
		}
	}
}

// labelledFiles are the sets that the model of mentions is trained on: those with labels of slots.
func labelledFiles(t testing.TB) []string {
	var out []string
	for _, f := range kindFiles(t) {
		if !strings.Contains(f, "kinds.jsonl") {
			out = append(out, f)
		}
	}
	return out
}

func believedBy(s *mentionSet, w []float64) float64 {
	sum := 0.0
	for _, at := range s.list {
		sum += w[at]
	}
	return 1 / (1 + math.Exp(-sum/math.Sqrt(float64(len(s.list)+1))))
}

// TestMentionWeights trains the model of mentions and holds the shipped weights against it, bit for bit;
// UPDATE_KIND=1 writes them.
func TestMentionWeights(t *testing.T) {
	r := newReader(t)
	all := mentionLessons(t, r, labelledFiles(t))
	w := make([]float64, int(mentionKinds)*mentionBuckets)
	for k := range all {
		trainMention(all[k], w[k*mentionBuckets:(k+1)*mentionBuckets])
	}
	holdWeights(t, "zz_mention.go", "mention", "mentionBuckets signed bytes for each kind of mention", w, 64)
}

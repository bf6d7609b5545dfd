package question

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// lesson is one labelled question as the model sees it.
type lesson struct {
	text, all []uint16 // features of the words; the same with those of the slots
	right     []int    // acceptable asks
	off       bool     // about something else
	weight    float64  // how much it counts
}

// How the model is trained. Chosen by leaving out each fifth of more-tuned.jsonl in turn, see the README of the sets.
const (
	kindPasses = 30
	kindRate   = 0.2
	kindDecay  = 1e-4
	kindFresh  = 3 // what a line counts that was not written to try out a phrase of the words
)

// kindFiles are the sets that the model is trained on; those set aside are not among them.
func kindFiles(t testing.TB) []string {
	t.Helper()
	dir := "../../testdata/questions/"
	files := []string{dir + "dev.jsonl", dir + "own.jsonl", dir + "more-tuned.jsonl", dir + "more-aside.jsonl", dir + "kinds.jsonl", dir + "slots.jsonl", dir + "long.jsonl"}
	frozen, err := filepath.Glob(dir + "heldout/*.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	slices.Sort(frozen)
	return append(files, frozen...)
}

// reading makes the state of a question as Read has it when the kind is told.
func (r *Reader) kindReading(text string) *reading {
	q := r.start(text)
	q.readSlots()
	return q
}

func lessons(t testing.TB, r *Reader, file string) []lesson {
	weight := 1.0
	if base := filepath.Base(file); base == "more-tuned.jsonl" || base == "more-aside.jsonl" || base == "kinds.jsonl" || base == "slots.jsonl" || base == "long.jsonl" {
		weight = kindFresh
	}
	var out []lesson
	for _, l := range readSet(t, file) {
		q := r.kindReading(l.Q)
		k := q.kindText()
		one := lesson{weight: weight, text: slices.Clone(k.list)}
		q.kindSlots(k)
		one.all = slices.Clone(k.list)
		for _, a := range l.Asks {
			one.right = append(one.right, slices.Index(Asks(), a))
		}
		one.off = len(l.Understood) == 0 && slices.Equal(l.Asks, []string{"other"}) && !slices.Contains(l.Open, "lamps")
		out = append(out, one)
	}
	return out
}

// kindExp is e to the power of x from its series, with every product rounded by itself: the same bits on every
// machine, so that training is reproducible.
func kindExp(x float64) float64 {
	if x < -40 {
		return 0
	}
	halvings := 0
	for x < -0.5 || x > 0.5 {
		x /= 2
		halvings++
	}
	term, sum := 1.0, 1.0
	for n := 1; n < 14; n++ {
		term = float64(term*x) / float64(n)
		sum += term
	}
	for range halvings {
		sum = float64(sum * sum)
	}
	return sum
}

// trainKind fits the model by gradient descent with a rate that falls with what a weight has moved (AdaGrad). The
// order is shuffled by a fixed generator; products are rounded by themselves.
func trainKind(all []lesson) []float64 {
	w, moved := make([]float64, kindBuckets*kindClasses), make([]float64, kindBuckets*kindClasses)
	order := make([]int, len(all))
	for i := range order {
		order[i] = i
	}
	var many [kindClasses]float64
	for i := range all {
		many[all[i].right[0]]++
	}
	for i := range all {
		all[i].weight = float64(all[i].weight * math.Sqrt(float64(len(all))/9/many[all[i].right[0]])) // rare asks weigh more
	}
	state := uint64(20261201)
	step := func(features []uint16, c int, gradient, scale float64) {
		g := float64(gradient * scale)
		for _, at := range features {
			i := int(at)*kindClasses + c
			d := g + float64(kindDecay*w[i])
			moved[i] += float64(d * d)
			w[i] -= float64(kindRate*d) / (math.Sqrt(moved[i]) + 1e-6)
		}
	}
	for range kindPasses {
		for i := len(order) - 1; i > 0; i-- {
			state = state*6364136223846793005 + 1442695040888963407
			j := int(state>>33) % (i + 1)
			order[i], order[j] = order[j], order[i]
		}
		for _, n := range order {
			l := &all[n]
			scale := 1 / math.Sqrt(float64(len(l.all)+1))
			var s, p [kindClasses]float64
			for _, at := range l.all {
				for c := range kindOff {
					s[c] += w[int(at)*kindClasses+c]
				}
			}
			most := math.Inf(-1)
			for c := range kindOff {
				s[c] = float64(s[c] * scale)
				most = max(most, s[c])
			}
			total, good := 0.0, 0.0
			for c := range kindOff {
				p[c] = kindExp(s[c] - most)
				total += p[c]
			}
			for _, c := range l.right {
				good += p[c]
			}
			for c := range kindOff {
				want := 0.0
				if slices.Contains(l.right, c) {
					want = p[c] / good
				}
				step(l.all, c, float64(l.weight*(p[c]/total-want)), scale)
			}
			scale = 1 / math.Sqrt(float64(len(l.text)+1))
			for _, at := range l.text {
				s[kindOff] += w[int(at)*kindClasses+kindOff]
			}
			want := 0.0
			if l.off {
				want = 1
			}
			z := max(-30, min(30, float64(s[kindOff]*scale)))
			step(l.text, kindOff, float64(l.weight*(1/(1+kindExp(-z))-want)), scale)
		}
	}
	return w
}

// kindRows makes the table of bytes, and the unit of one of them.
func kindRows(w []float64) ([]byte, float64) {
	most := 0.0
	for _, v := range w {
		most = max(most, math.Abs(v))
	}
	unit := math.Ceil(most/127*4096) / 4096
	rows := make([]byte, len(w))
	for i, v := range w {
		rows[i] = byte(int8(math.Round(v / unit)))
	}
	return rows, unit
}

// TestKindWeights trains the model and holds the shipped weights against it, bit for bit; UPDATE_KIND=1 writes them.
func TestKindWeights(t *testing.T) {
	if testing.Short() {
		t.Skip("trains for some seconds")
	}
	r := newReader(t)
	var all []lesson
	for _, file := range kindFiles(t) {
		all = append(all, lessons(t, r, file)...)
	}
	holdWeights(t, "zz_kind.go", "kind", "a row of kindClasses signed bytes for each place of a feature", trainKind(all), kindClasses*16)
}

// holdWeights holds a table of weights against its generated file; UPDATE_KIND=1 writes the file.
func holdWeights(t *testing.T, file, name, what string, w []float64, line int) {
	t.Helper()
	rows, unit := kindRows(w)
	var b bytes.Buffer
	fmt.Fprintf(&b, "// Code generated by go generate from testdata/questions; DO NOT EDIT.\n\npackage question\n\n")
	fmt.Fprintf(&b, "// %sUnit is what one step of %sWeights counts.\nconst %sUnit = %v\n\n", name, name, name, unit)
	fmt.Fprintf(&b, "// %sWeights has %s.\nconst %sWeights = \"\" +\n", name, what, name)
	for i := 0; i < len(rows); i += line {
		b.WriteString("\t\"")
		for _, c := range rows[i:min(i+line, len(rows))] {
			if c == 0 {
				b.WriteString(`\x00`)
			} else {
				fmt.Fprintf(&b, `\x%02x`, c)
			}
		}
		b.WriteString("\"")
		if i+line < len(rows) {
			b.WriteString(" +")
		}
		b.WriteString("\n")
	}
	if os.Getenv("UPDATE_KIND") != "" {
		if err := os.WriteFile(file, b.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	have, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(have, b.Bytes()) {
		t.Errorf("%s is not what training gives: go generate ./recommend/question", file)
	}
}

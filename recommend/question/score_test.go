package question

import (
	"bufio"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"sort"
	"strings"
	"testing"
)

// labelled is one line of a labelled set; the rules are in testdata/questions/README.md.
type labelled struct {
	Q          string                     `json:"q"`
	Understood map[string]json.RawMessage `json:"understood"`
	Asks       []string                   `json:"asks"`
	Open       []string                   `json:"open"`
	Batch      string                     `json:"batch"` // the imagined community it was written for
}

func readSet(t testing.TB, file string) []labelled {
	t.Helper()
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var out []labelled
	lines := bufio.NewScanner(f)
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		if strings.TrimSpace(lines.Text()) == "" {
			continue
		}
		var l labelled
		dec := json.NewDecoder(strings.NewReader(lines.Text()))
		dec.DisallowUnknownFields()
		if err := dec.Decode(&l); err != nil {
			t.Fatalf("%s: %v: %s", file, err, lines.Text())
		}
		out = append(out, l)
	}
	return out
}

// score counts slots as the labelling rules say.
type score struct {
	stated, statedRight int
	filled, filledWrong int
	lines, asksRight    int
	perSlot             map[string][4]int // stated, right, filled, wrong
	misses              []string
}

// tolerance is how far a number may be off: the rules allow 1 mm and 1 km/h.
var tolerance = map[string]float64{"rear_clearance_mm": 1, "speed_kmh": 1}

func scoreSet(t testing.TB, r *Reader, set []labelled) score {
	t.Helper()
	s := score{perSlot: map[string][4]int{}}
	for _, l := range set {
		got := r.Read(l.Q)
		raw, err := json.Marshal(got)
		if err != nil {
			t.Fatal(err)
		}
		var slots map[string]json.RawMessage
		if err := json.Unmarshal(raw, &slots); err != nil {
			t.Fatal(err)
		}
		names := map[string]bool{}
		for name := range slots {
			names[name] = true
		}
		for name := range l.Understood {
			names[name] = true
		}
		var wrong []string
		for name := range names {
			if slices.Contains(l.Open, name) {
				continue
			}
			want, have := normal(l.Understood[name], l.Open), normal(slots[name], l.Open)
			c := s.perSlot[name]
			if want != nil {
				c[0]++
			}
			if have != nil {
				c[2]++
			}
			if same(name, want, have) {
				if want != nil {
					c[1]++
				}
			} else {
				if have != nil {
					c[3]++
				}
				wrong = append(wrong, fmt.Sprintf("%s: have %s, want %s", name, show(have), show(want)))
			}
			s.perSlot[name] = c
		}
		s.lines++
		if len(l.Open) > 0 && slices.Contains(l.Open, "asks") || slices.Contains(l.Asks, got.Asks[0]) {
			s.asksRight++
		} else {
			wrong = append(wrong, fmt.Sprintf("asks: have %v, want %v", got.Asks, l.Asks))
		}
		if len(wrong) > 0 {
			sort.Strings(wrong)
			s.misses = append(s.misses, l.Q+"\n      "+strings.Join(wrong, "\n      "))
		}
	}
	for _, c := range s.perSlot {
		s.stated, s.statedRight, s.filled, s.filledWrong = s.stated+c[0], s.statedRight+c[1], s.filled+c[2], s.filledWrong+c[3]
	}
	return s
}

func (s score) String() string {
	share := func(a, b int) float64 { return 100 * float64(a) / math.Max(1, float64(b)) }
	return fmt.Sprintf("%d lines: stated slots right %d/%d = %.1f %%, filled slots wrong %d/%d = %.2f %%, leading ask right %d/%d = %.1f %%",
		s.lines, s.statedRight, s.stated, share(s.statedRight, s.stated), s.filledWrong, s.filled, share(s.filledWrong, s.filled),
		s.asksRight, s.lines, share(s.asksRight, s.lines))
}

// slots writes the counts of each slot: stated, right, filled, wrong.
func (s score) slots() string {
	var b strings.Builder
	for _, name := range slices.Sorted(maps.Keys(s.perSlot)) {
		c := s.perSlot[name]
		fmt.Fprintf(&b, " %s %d/%d, %d of %d wrong;", name, c[1], c[0], c[3], c[2])
	}
	return "by slot:" + b.String()
}

// normal gives a comparable value: nil for null, empty lists and a missing key; lists sorted; null parts and parts
// named in open left out.
func normal(raw json.RawMessage, open []string) any {
	if len(raw) == 0 || string(raw) == "null" {
		return nil
	}
	var v any
	if json.Unmarshal(raw, &v) != nil {
		return nil
	}
	return plainValue(v, open)
}

func plainValue(v any, open []string) any {
	switch v := v.(type) {
	case map[string]any:
		out := map[string]any{}
		for k, e := range v {
			if p := plainValue(e, open); p != nil && !slices.Contains(open, k) {
				out[k] = p
			}
		}
		return out
	case []any:
		if len(v) == 0 {
			return nil
		}
		out := make([]any, len(v))
		for i, e := range v {
			out[i] = plainValue(e, open)
		}
		sort.Slice(out, func(i, j int) bool { return show(out[i]) < show(out[j]) })
		return out
	}
	return v
}

func same(name string, want, have any) bool {
	a, aIs := want.(float64)
	b, bIs := have.(float64)
	if aIs && bIs {
		return math.Abs(a-b) <= tolerance[name]+1e-9
	}
	return reflect.DeepEqual(want, have)
}

func show(v any) string {
	b, _ := json.Marshal(v)
	return string(b)
}

// gates are the shares that issue 6 asks for.
func (s score) meets() bool {
	return float64(s.statedRight) >= 0.97*float64(s.stated) && float64(s.filledWrong) <= 0.01*float64(s.filled) &&
		float64(s.asksRight) >= 0.92*float64(s.lines)
}

func TestLabelledSets(t *testing.T) {
	r := newReader(t)
	files := []string{"../../testdata/questions/dev.jsonl", "../../testdata/questions/own.jsonl", "../../testdata/questions/more-tuned.jsonl",
		"../../testdata/questions/slots.jsonl", "../../testdata/questions/long.jsonl"}
	// Held out only until their first run, see the README: today they hold what was mended.
	frozen, err := filepath.Glob("../../testdata/questions/heldout/*.jsonl")
	if err != nil || len(frozen) < 6 {
		t.Fatalf("held-out batches: %v, %v", frozen, err)
	}
	files = append(files, frozen...)
	if extra := os.Getenv("QUESTION_SETS"); extra != "" {
		files = strings.Split(extra, ":")
	}
	for _, file := range files {
		s := scoreSet(t, r, readSet(t, file))
		t.Log(file, s)
		if testing.Verbose() {
			t.Log(s.slots())
		}
		if !s.meets() || testing.Verbose() {
			for _, m := range s.misses {
				t.Log(m)
			}
		}
		if !s.meets() {
			t.Errorf("%s: below the gates", file)
		}
	}
}

// floors are what the reader has reached on sets that say something of strangers' questions; the first runs, before
// anything was mended with them, stand in the README of the sets.
var floors = []struct {
	file         string
	right, wrong float64 // stated slots right at least, filled slots wrong at most, in percent
	leading      float64 // asks right at least
	what         string
}{
	{"more-aside", 97.5, 2.9, 99.0, "mended and trained with after its first run"},
	{"unseen", 99.9, 0.1, 92.0, "never trained with"},
	{"fresh", 96.6, 2.7, 94.0, "never trained with, mended by kind after its first run"},
}

func TestFloors(t *testing.T) {
	r := newReader(t)
	for _, f := range floors {
		s := scoreSet(t, r, readSet(t, "../../testdata/questions/"+f.file+".jsonl"))
		t.Log(f.file, s)
		share := func(a, b int) float64 { return 100 * float64(a) / float64(b) }
		if share(s.statedRight, s.stated) < f.right || share(s.filledWrong, s.filled) > f.wrong || share(s.asksRight, s.lines) < f.leading {
			t.Errorf("%s (%s): below what was reached: %s", f.file, f.what, s)
			for _, m := range s.misses {
				t.Log(m)
			}
		}
	}
}

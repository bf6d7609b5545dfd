package question

import (
	"iter"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"
)

func filepathBase(s string) string               { return filepath.Base(s) }
func mapsKeys(m map[string]int) iter.Seq[string] { return maps.Keys(m) }
func TestCV(t *testing.T) {
	if os.Getenv("CV") == "" {
		t.Skip()
	}
	r := newReader(t)
	var bl, ml []lesson
	var mine []labelled
	for _, f := range kindFiles(t) {
		if filepathBase(f) == "more-tuned.jsonl" {
			ml, mine = lessons(t, r, f), readSet(t, f)
		} else {
			bl = append(bl, lessons(t, r, f)...)
		}
	}
	ks := []float64{0, 1, 2, 3, 4, 5, 6, 8, 10, 15, 1000}
	right := make([]int, len(ks))
	offs := map[string]int{}
	const folds = 5
	for f := 0; f < folds; f++ {
		var tr []lesson
		tr = append(tr, bl...)
		for i, l := range ml {
			if i%folds != f {
				tr = append(tr, l)
			}
		}
		rows, unit := kindRows(trainKind(tr))
		for i, l := range ml {
			if i%folds != f {
				continue
			}
			sum := [kindClasses]float64{}
			for _, at := range l.all {
				for c := range kindOff {
					sum[c] += float64(int8(rows[int(at)*kindClasses+c]))
				}
			}
			for _, at := range l.text {
				sum[kindOff] += float64(int8(rows[int(at)*kindClasses+kindOff]))
			}
			var s [kindClasses]float64
			for c := range s {
				n := len(l.all)
				if c == kindOff {
					n = len(l.text)
				}
				s[c] = sum[c] * unit / math.Sqrt(float64(n+1))
			}
			most := slices.Max(s[:kindOff])
			tot := 0.0
			for c := range kindOff {
				tot += math.Exp(s[c] - most)
			}
			q := r.kindReading(mine[i].Q)
			on := q.onTopic()
			po := 1 / (1 + math.Exp(-s[kindOff]))
			key := "rule-on "
			if !on {
				key = "rule-off "
			}
			if l.off {
				key += "is-off "
			} else {
				key += "is-on "
			}
			switch {
			case po < 0.03:
				key += "p<.03"
			case po < 0.1:
				key += "p<.1"
			case po < 0.3:
				key += "p<.3"
			case po < 0.5:
				key += "p<.5"
			case po < 0.8:
				key += "p<.8"
			default:
				key += "p>.8"
			}
			offs[key]++
			w := q.askWeights()
			best := make([]int, len(ks))
			for ki, kk := range ks {
				bv := math.Inf(-1)
				for c := range kindOff {
					v := float64(w[c]) + kk*(s[c]-most-math.Log(tot))
					if v > bv {
						bv = v
						best[ki] = c
					}
				}
				if slices.Contains(l.right, best[ki]) {
					right[ki]++
				}
			}
			if ki := slices.Index(ks, 5); !slices.Contains(l.right, best[ki]) {
				t.Logf("%s: have %s want %v model %s", mine[i].Q, Asks()[best[ki]], mine[i].Asks, Asks()[best[len(ks)-1]])
			}
		}
	}
	for i, k := range ks {
		t.Logf("K=%v: %d/%d = %.1f", k, right[i], len(ml), 100*float64(right[i])/float64(len(ml)))
	}
	for _, k := range slices.Sorted(mapsKeys(offs)) {
		t.Log(k, offs[k])
	}
}

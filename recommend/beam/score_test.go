package beam

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
)

func ptr[T any](v T) *T { return &v }

// list gives the parts as pointers to their slots, in one order.
func (p *Parts) list() []**float64 {
	return []**float64{&p.Sharpness, &p.HotSpot, &p.Stray, &p.Dark, &p.Width}
}

func randomParts(r *rand.Rand) Parts {
	var p Parts
	for _, slot := range p.list() {
		switch r.IntN(4) {
		case 0: // not measured
		case 1:
			*slot = ptr(float64(r.IntN(2))) // the ends of the scale
		default:
			*slot = ptr(r.Float64())
		}
	}
	return p
}

func TestScoreIsTheWeightedMean(t *testing.T) {
	w := DefaultWeights()
	p := Parts{Sharpness: ptr(0.5), HotSpot: ptr(1.0), Stray: ptr(0.25), Dark: ptr(0.0), Width: ptr(1.0)}
	got, err := Score(Low, p, Doubt{}, w)
	if err != nil {
		t.Fatal(err)
	}
	lw := w.Low
	want := 100 * (lw.Sharpness*0.5 + lw.HotSpot + lw.Stray*0.25 + lw.Width) / (lw.Sharpness + lw.HotSpot + lw.Stray + lw.Dark + lw.Width)
	if !scalar.EqualWithinAbs(got.Score, want, 1e-9) || got.Low != got.Score || got.High != got.Score {
		t.Errorf("got %+v, want %g without band", got, want)
	}
	// With nothing measured the band is the whole scale.
	if got, _ := Score(Fog, Parts{}, w.Photo, w); got != (Result{Score: 0, Low: 0, High: 100}) {
		t.Errorf("nothing measured: %+v", got)
	}
	// Independent and fully shared half-widths: quadrature and plain sum.
	u := Doubt{Sharpness: 0.1, Stray: 0.1}
	half := Parts{Sharpness: ptr(0.5), HotSpot: ptr(0.5), Stray: ptr(0.5), Dark: ptr(0.5), Width: ptr(0.5)}
	free, _ := Score(Low, half, u, w)
	u.Shared = 1
	shared, _ := Score(Low, half, u, w)
	if want := 10 * math.Hypot(lw.Sharpness, lw.Stray); !scalar.EqualWithinAbs(free.High-50, want, 1e-9) {
		t.Errorf("independent half-width %g, want %g", free.High-50, want)
	}
	if want := 10 * (lw.Sharpness + lw.Stray); !scalar.EqualWithinAbs(50-shared.Low, want, 1e-9) {
		t.Errorf("shared half-width %g, want %g", 50-shared.Low, want)
	}
}

func TestScoreRisesWithEveryPartAndNeverByDeletion(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	w := DefaultWeights()
	for n := 0; n < 20000; n++ {
		kind := []string{Low, High, Fog}[r.IntN(3)]
		u, _ := DoubtOf([]string{MethodGrid, MethodPhoto, MethodGrade}[r.IntN(3)], w)
		p := randomParts(r)
		before, err := Score(kind, p, u, w)
		if err != nil {
			t.Fatal(err)
		}
		if !(0 <= before.Low && before.Low <= before.Score && before.Score <= before.High && before.High <= 100) {
			t.Fatalf("%s: band out of order: %+v", kind, before)
		}
		slots := p.list()
		slot := slots[r.IntN(len(slots))]
		if *slot == nil {
			continue
		}
		old := *slot
		*slot = nil
		deleted, _ := Score(kind, p, u, w)
		if deleted.Score > before.Score+1e-9 || deleted.Low > before.Low+1e-9 || deleted.High < before.High-1e-9 {
			t.Fatalf("%s: deleting a part moved %+v to %+v", kind, before, deleted)
		}
		*slot = ptr(*old + (1-*old)*r.Float64())
		raised, _ := Score(kind, p, u, w)
		if raised.Score < before.Score-1e-9 || raised.Low < before.Low-1e-9 || raised.High < before.High-1e-9 {
			t.Fatalf("%s: raising a part moved %+v to %+v", kind, before, raised)
		}
	}
}

func TestScoreRefuses(t *testing.T) {
	w := DefaultWeights()
	for name, call := range map[string]func() error{
		"beam":    func() error { _, err := Score("drl", Parts{}, w.Grid, w); return err },
		"over":    func() error { _, err := Score(Low, Parts{Dark: ptr(1.01)}, w.Grid, w); return err },
		"nan":     func() error { _, err := Score(Low, Parts{Dark: ptr(math.NaN())}, w.Grid, w); return err },
		"doubt":   func() error { _, err := Score(Low, Parts{}, Doubt{Dark: math.NaN()}, w); return err },
		"weights": func() error { _, err := Score(Low, Parts{}, w.Grid, Weights{}); return err },
		"method":  func() error { _, err := DoubtOf("tape", w); return err },
		"mark":    func() error { _, err := PartsFromMarks(Marks{Dark: ptr(4)}, w); return err },
	} {
		if call() == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func TestMarksMapOntoTheSameScale(t *testing.T) {
	w := DefaultWeights()
	previous := -1.0
	for mark := 0; mark <= 3; mark++ {
		p, err := PartsFromMarks(Marks{Cutoff: &mark, HotSpot: &mark, Stray: &mark, Dark: &mark, Width: &mark}, w)
		if err != nil {
			t.Fatal(err)
		}
		got, err := Score(Low, p, w.Grade, w)
		if err != nil {
			t.Fatal(err)
		}
		if got.Score <= previous {
			t.Errorf("mark %d scores %g, not above %g", mark, got.Score, previous)
		}
		previous = got.Score
		if photo, _ := Score(Low, p, w.Photo, w); got.High-got.Low <= photo.High-photo.Low {
			t.Errorf("mark %d: the band of a grade %+v is not wider than a photo's %+v", mark, got, photo)
		}
	}
	whole, err := FromMarks(Marks{Stray: ptr(3)}, Options{Beam: Low, Weights: w})
	if err != nil || whole.HotSpot.H != nil || whole.Dark == nil || whole.High-whole.Low < 70 || *whole.Parts.Stray != 1 {
		t.Errorf("one mark: %+v, %v", whole, err)
	}
	if _, err := FromMarks(Marks{Stray: ptr(-1)}, Options{Beam: Low, Weights: w}); err == nil {
		t.Error("mark -1 was taken")
	}
	if p, _ := PartsFromMarks(Marks{Cutoff: ptr(2)}, w); p.HotSpot != nil || *p.Sharpness != w.Mark2.Value {
		t.Errorf("one mark gave %+v", p)
	}
}

func ExampleScore() {
	w := DefaultWeights()
	straySeen := StrayPart(2, w) // twice the stock beam's stray light
	r, _ := Score(Low, Parts{Stray: &straySeen}, w.Grid, w)
	fmt.Printf("stray part %.2f: score %.0f, between %.0f and %.0f\n", straySeen, r.Score, r.Low, r.High)
	// Output: stray part 0.50: score 15, between 13 and 87
}

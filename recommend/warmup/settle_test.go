package warmup

import (
	"math"
	"testing"
)

// TestSettleTimes holds the time from which on the light is settled against the closed form and the
// table of photometry.md section 9 (exponential model, droop d = (L0-Linf)/Linf; computed there).
func TestSettleTimes(t *testing.T) {
	closed := func(d, tau float64, c Criterion) float64 {
		e, q := math.Exp(-c.WindowMin/tau), c.Pct/100
		return tau * math.Log(d*(1-e-q*e)/q)
	}
	for _, test := range []struct{ d, tau, un, lm79 float64 }{
		{0.25, 6, 12.19, 23.44},
		{0.15, 8, 11.50, 27.02},
		{0.10, 10, 9.43, 29.45},
		{0.30, 4, 9.11, 16.38},
	} {
		var readings []Reading
		for m := 0.0; m <= 60; m += 0.5 {
			readings = append(readings, Reading{m, 100000 * (1 + test.d*math.Exp(-m/test.tau))})
		}
		for _, c := range []struct {
			criterion Criterion
			table     float64
		}{{SettleUN(), test.un}, {SettleLM79(), test.lm79}} {
			if want := closed(test.d, test.tau, c.criterion); math.Abs(want-c.table) > 0.01 {
				t.Fatalf("closed form %.3f, table %.2f: the test is wrong", want, c.table)
			}
			f, err := Reduce(readings, 30, Options{Settle: c.criterion})
			if err != nil || f.SettledAtMin == nil {
				t.Fatalf("d %g tau %g: %v, settled at %v", test.d, test.tau, err, f.SettledAtMin)
			}
			if math.Abs(*f.SettledAtMin-c.table) > 0.03 {
				t.Errorf("d %g tau %g %v: settled at %.3f, table %.2f", test.d, test.tau, c.criterion, *f.SettledAtMin, c.table)
			}
		}
	}
}

// TestSettledNeedsCertainty: settled is said only where the readings leave no real doubt.
func TestSettledNeedsCertainty(t *testing.T) {
	c := truth{level: 2000, drop: [2]float64{0.2}, tau: [2]float64{6}}
	var readings []Reading
	for _, m := range minutes(30) {
		readings = append(readings, Reading{m, math.Round(c.at(m))})
	}
	for _, test := range []struct {
		at   float64
		want bool
	}{{0, false}, {8, false}, {20, true}, {30, true}} {
		f, err := Reduce(readings, test.at, Options{})
		if err != nil || f.Settled != test.want {
			t.Errorf("at %g min settled is %v, %v; want %v (settled at %v)", test.at, f.Settled, err, test.want, *f.SettledAtMin)
		}
	}
	f, err := Reduce(readings[:3], 20, Options{})
	if err != nil || f.Settled || f.SettledAtMin != nil {
		t.Error("three readings cannot show that the light is settled")
	}
}

// SettleLM79 is the criterion of IES LM-79-08 for LED products: less than 0.5 % within 30 min (from
// memory of the document).
func SettleLM79() Criterion { return Criterion{WindowMin: 30, Pct: 0.5} }

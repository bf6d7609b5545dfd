package warmup

import (
	"encoding/json"
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
)

func near(t *testing.T, what string, got *float64, want, tolerance float64) {
	t.Helper()
	if got == nil || !(math.Abs(*got-want) <= tolerance) {
		t.Errorf("%s is %v, want %g within %g", what, text(got), want, tolerance)
	}
}

func text(p *float64) any {
	if p == nil {
		return "nil"
	}
	return *p
}

// The model and its check values: photometry.md section 9, L0 2000, Linf 1600, tau 6 min.
var modelTable = []Reading{{1, 1938.593}, {5, 1773.839}, {10, 1675.550}, {15, 1632.834}, {20, 1614.270}, {30, 1602.695}, {60, 1600.018}}

func TestModelTable(t *testing.T) {
	readings := append([]Reading{{0, 2000}}, modelTable...)
	for _, r := range modelTable {
		f, err := Reduce(readings, r.Min, Options{ResolutionLux: 0.001})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "lux", f.Lux, r.Lux, 0.3)
		near(t, "retained", f.RetainedPct, r.Lux/20, 0.03)
		near(t, "tau", f.TauMin, 6, 0.001)
		near(t, "start", f.StartLux, 2000, 0.3)
		near(t, "settled lux", f.SettledLux, 1600, 0.3)
		if f.Shape != ShapeOne || f.Forecast || len(f.DroppedReadings) != 0 {
			t.Errorf("shape %s, forecast %v, dropped %v", f.Shape, f.Forecast, f.DroppedReadings)
		}
		if !(*f.LuxLow <= *f.Lux && *f.Lux <= *f.LuxHigh) {
			t.Errorf("band %g..%g does not hold %g", *f.LuxLow, *f.LuxHigh, *f.Lux)
		}
	}
}

// TestTwoReadings: two numbers and nothing more. 1001 and after 30 min 832 lux retain 83 % (common
// practice, check value of the trade).
func TestTwoReadings(t *testing.T) {
	readings := []Reading{{0, 1001}, {30, 832}}
	f, err := Reduce(readings, 30, Options{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "lux", f.Lux, 832, 0)
	near(t, "start", f.StartLux, 1001, 0)
	near(t, "retained", f.RetainedPct, 100*832.0/1001, 1e-9)
	near(t, "low", f.LuxLow, 832*(1-0.0196), 0.01)
	if f.Shape != ShapeUnknown || f.TauMin != nil || f.SettledLux != nil || f.Settled || f.SettledAtMin != nil || f.Forecast {
		t.Errorf("two readings know too much: %+v", f)
	}
	early, err := Reduce(readings, 10, Options{})
	if err != nil {
		t.Fatal(err)
	}
	// The curves of the ends of the usual range, 2 and 15 min, bound the band but for the meter.
	at := func(tau float64) float64 {
		return 832 + (1001-832)*(math.Exp(-10/tau)-math.Exp(-30/tau))/(1-math.Exp(-30/tau))
	}
	if *early.LuxLow > at(2)+10 || *early.LuxHigh < at(15)-10 || *early.LuxLow < at(2)-25 || *early.LuxHigh > at(15)+25 {
		t.Errorf("band at 10 min %g..%g, curves %g and %g", *early.LuxLow, *early.LuxHigh, at(2), at(15))
	}
	if !strings.Contains(strings.Join(early.Notes, ";"), "time constants of 2 to 15 min") {
		t.Errorf("the band does not say where it comes from: %v", early.Notes)
	}
	narrow, err := Reduce(readings, 10, Options{TauLowMin: 6, TauHighMin: 6})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "lux for one time constant", narrow.Lux, at(6), 0.1)
}

func TestFewReadings(t *testing.T) {
	none, err := Reduce(nil, 30, Options{})
	if err != nil || none.Lux != nil || none.LuxLow != nil || none.StartLux != nil || none.Shape != ShapeUnknown || none.Notes == nil || none.DroppedReadings == nil {
		t.Errorf("no readings: %+v, %v", none, err)
	}
	one, err := Reduce([]Reading{{0.1, 900}}, 30, Options{})
	if err != nil || one.Lux != nil || one.LuxLow != nil {
		t.Errorf("one reading tells the light 30 min later: %v, %v", text(one.Lux), err)
	}
	near(t, "start", one.StartLux, 900, 0)
	one, err = Reduce([]Reading{{0.1, 900}}, 0.1, Options{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "lux", one.Lux, 900, 0)
	// Two readings a minute apart say next to nothing of 30 min: no single figure.
	brief, err := Reduce([]Reading{{0, 1000}, {1, 960}}, 30, Options{})
	if err != nil || brief.Lux != nil {
		t.Errorf("a figure from one minute: %v, %v", text(brief.Lux), err)
	}
}

func TestReadingErrors(t *testing.T) {
	ok := []Reading{{0, 1000}, {1, 990}, {2, 980}}
	for _, test := range []struct {
		name  string
		index int
		bad   Reading
		says  string
	}{
		{"before", 2, Reading{0.5, 900}, "times must rise"},
		{"twice", 2, Reading{1, 900}, "one time, one reading"},
		{"zero", 1, Reading{1, 0}, "illuminance"},
		{"negative", 0, Reading{0, -3}, "illuminance"},
		{"nan", 1, Reading{1, math.NaN()}, "illuminance"},
		{"infinite", 1, Reading{1, math.Inf(1)}, "illuminance"},
		{"time nan", 1, Reading{math.NaN(), 900}, "time"},
		{"time negative", 0, Reading{-1, 900}, "time"},
	} {
		readings := slices.Clone(ok)
		readings[test.index] = test.bad
		_, err := Reduce(readings, 30, Options{})
		var reading *ReadingError
		if !errors.As(err, &reading) || reading.Index != test.index || !strings.Contains(err.Error(), test.says) {
			t.Errorf("%s: %v", test.name, err)
		}
	}
	for _, at := range []float64{-1, math.NaN(), math.Inf(1)} {
		var value *ValueError
		if _, err := Reduce(ok, at, Options{}); !errors.As(err, &value) {
			t.Errorf("at %g: %v", at, err)
		}
	}
	for _, o := range []Options{{TauLowMin: -1}, {TauLowMin: 20}, {RepeatPct: math.NaN()}, {Settle: Criterion{WindowMin: 15}}} {
		var value *ValueError
		if _, err := Reduce(ok, 1, o); !errors.As(err, &value) {
			t.Errorf("%+v: %v", o, err)
		}
	}
}

// TestBadReadingsAreNamed: a misread digit is left out, named, and does not move the figure.
func TestBadReadingsAreNamed(t *testing.T) {
	c := truth{level: 1500, drop: [2]float64{0.2}, tau: [2]float64{5}}
	var readings []Reading
	for i, m := range minutes(20) {
		readings = append(readings, Reading{m, math.Round(c.at(m)) + float64(i%3-1)})
	}
	clean, err := Reduce(readings, 30, Options{})
	if err != nil {
		t.Fatal(err)
	}
	readings[7].Lux, readings[12].Lux = readings[7].Lux+300, readings[12].Lux/10
	f, err := Reduce(readings, 30, Options{})
	if err != nil || !slices.Equal(f.DroppedReadings, []int{7, 12}) {
		t.Fatalf("dropped %v, %v", f.DroppedReadings, err)
	}
	near(t, "lux", f.Lux, *clean.Lux, 2)
	if !strings.Contains(strings.Join(f.Notes, ";"), "reading 8 (7 min") {
		t.Errorf("the readings left out are not named: %v", f.Notes)
	}
	readings[7].Lux, readings[12].Lux = math.Round(c.at(7)), math.Round(c.at(12))
	readings[20].Lux *= 0.85
	f, err = Reduce(readings, 30, Options{})
	if err != nil || !slices.Equal(f.DroppedReadings, []int{20}) || !strings.Contains(strings.Join(f.Notes, ";"), "take another") {
		t.Errorf("a low last reading: dropped %v, notes %v, %v", f.DroppedReadings, f.Notes, err)
	}
}

// TestScale: twice the light is twice the figures, and a later clock moves times only.
func TestScale(t *testing.T) {
	c := truth{level: 1000, drop: [2]float64{0.1, 0.15}, tau: [2]float64{1, 9}}
	var a, b []Reading
	for _, m := range minutes(40) {
		lux := c.at(m) + math.Sin(7*m)
		a = append(a, Reading{m, lux})
		b = append(b, Reading{m, 2 * lux})
	}
	o := Options{ResolutionLux: 0.001}
	x, err := Reduce(a, 30, o)
	y, err2 := Reduce(b, 30, o)
	if err != nil || err2 != nil {
		t.Fatal(err, err2)
	}
	near(t, "lux", y.Lux, 2**x.Lux, 1e-3)
	near(t, "low", y.LuxLow, 2**x.LuxLow, 1e-2)
	near(t, "retained", y.RetainedPct, *x.RetainedPct, 1e-4)
	near(t, "tau", y.TauMin, *x.TauMin, 1e-3)
}

// TestCurve: the band widens away from the readings, and a step leaves a gap.
func TestCurve(t *testing.T) {
	c := truth{level: 1200, drop: [2]float64{0.2}, tau: [2]float64{6}, stepAt: 9.5, stepBy: 0.2}
	var readings []Reading
	for i, m := range minutes(20) {
		readings = append(readings, Reading{m, math.Round(c.at(m) * (1 + 0.002*float64(i%3-1)))})
	}
	f, err := Reduce(readings, 20, Options{})
	if err != nil || f.Shape != ShapeStep {
		t.Fatalf("shape %s, %v", f.Shape, err)
	}
	if _, ok := f.Curve.At(9.5); ok {
		t.Error("the light inside a step is known")
	}
	for _, m := range []float64{-1, math.NaN(), 1e9} {
		if _, ok := f.Curve.At(m); ok {
			t.Errorf("the light at %g min is known", m)
		}
	}
	inside, _ := f.Curve.At(15)
	far, ok := f.Curve.At(60)
	if !ok || far.HalfWidthPct() <= inside.HalfWidthPct() {
		t.Errorf("half-width %g %% at 15 min, %g %% at 60 min", inside.HalfWidthPct(), far.HalfWidthPct())
	}
	near(t, "after the step", f.Lux, c.at(20), 8)
	near(t, "start", f.StartLux, c.at(0), 8)
}

func TestJSON(t *testing.T) {
	f, err := Reduce(nil, 30, Options{})
	if err != nil {
		t.Fatal(err)
	}
	got, err := json.Marshal(f)
	want := `{"at_min":30,"lux":null,"lux_low":null,"lux_high":null,"retained_pct":null,"tau_min":null,"start_lux":null,` +
		`"settled_lux":null,"settled":false,"settled_at_min":null,"forecast":false,"shape":null,"notes":["no readings: no figures"]}`
	if err != nil || string(got) != want {
		t.Errorf("%s, %v", got, err)
	}
	if got, _ := json.Marshal(ShapeOne); string(got) != `"one"` {
		t.Errorf("%s", got)
	}
}

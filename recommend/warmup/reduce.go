package warmup

import (
	"fmt"
	"math"
	"slices"
	"strconv"
)

// Shape names what a series of readings does. The empty shape (null in JSON) is that of too few
// readings to say.
type Shape string

// The shapes.
const (
	ShapeUnknown   Shape = ""
	ShapeOne       Shape = "one"       // falls with one time constant
	ShapeTwo       Shape = "two"       // falls with two time constants
	ShapeFlat      Shape = "flat"      // no change beyond the scatter
	ShapeRising    Shape = "rising"    // ends above its start
	ShapeStep      Shape = "step"      // a sudden change, as when a driver folds back
	ShapeUnsettled Shape = "unsettled" // moves about as no warm-up does
)

// MarshalJSON writes the empty shape as null.
func (s Shape) MarshalJSON() ([]byte, error) {
	if s == ShapeUnknown {
		return []byte("null"), nil
	}
	return strconv.AppendQuote(nil, string(s)), nil
}

// Figures are what a series of readings says of the light at one time. A nil figure is one that
// cannot honestly be given.
type Figures struct {
	AtMin        float64  `json:"at_min"`         // the time asked for, minutes since switch-on
	Lux          *float64 `json:"lux"`            // the light then
	LuxLow       *float64 `json:"lux_low"`        // its 95 % band
	LuxHigh      *float64 `json:"lux_high"`       //
	RetainedPct  *float64 `json:"retained_pct"`   // Lux in percent of StartLux
	TauMin       *float64 `json:"tau_min"`        // time constant, the slow one of two
	StartLux     *float64 `json:"start_lux"`      // the light at the time of the first reading
	SettledLux   *float64 `json:"settled_lux"`    // the light in the end
	Settled      bool     `json:"settled"`        // the criterion is met at AtMin, with 95 % probability
	SettledAtMin *float64 `json:"settled_at_min"` // from when on it is as likely met as not
	Forecast     bool     `json:"forecast"`       // AtMin is after the last reading used
	Shape        Shape    `json:"shape"`
	Notes        []string `json:"notes"`

	DroppedReadings []int       `json:"-"` // places in the list given, from 0, of the readings left out as bad
	Parameters      []Parameter `json:"-"` // of the best single curve of the last piece
	Curve           *Curve      `json:"-"` // the light at any time, with its band

	options Options
}

// Parameter is one parameter of the best single curve with its standard uncertainty.
type Parameter struct {
	Name         string // "settled", "drop 1", "tau 1", "drop 2", "tau 2"
	Unit         string // "lux" or "min"
	Value, Sigma float64
}

// Reduce turns readings, in order of time, into the figures at a time in minutes since switch-on,
// 0..10000. It returns a *ReadingError that names the reading if times do not rise or a value is
// not finite or outside its range, and a *ValueError for a time or an option outside its range.
// An empty list is no error: it gives figures that are all nil.
func Reduce(readings []Reading, at float64, opt Options) (Figures, error) {
	f, a, err := reduce(readings, at, opt)
	if err != nil || len(readings) == 0 {
		return f, err
	}
	last := a.pieces[len(a.pieces)-1]
	f.settle(last, at)
	f.parameters(last)
	f.explain(readings, a)
	return f, nil
}

// Light is Reduce in half the time, for what only needs the light and the shape: it leaves out when
// the light settles, the parameters, the time constant, the curve and all notes but on the light.
func Light(readings []Reading, at float64, opt Options) (Figures, error) {
	f, _, err := reduce(readings, at, opt)
	f.Curve = nil // it holds on to much memory
	return f, err
}

func reduce(readings []Reading, at float64, opt Options) (Figures, analysis, error) {
	o, err := opt.complete()
	if err != nil {
		return Figures{}, analysis{}, err
	}
	if err := within("time in minutes", at, 0, mostMinutes); err != nil {
		return Figures{}, analysis{}, err
	}
	if err := checkReadings(readings); err != nil {
		return Figures{}, analysis{}, err
	}
	f := Figures{AtMin: at, Notes: []string{}, DroppedReadings: []int{}, options: o}
	if len(readings) == 0 {
		f.note("no readings: no figures")
		return f, analysis{}, nil
	}
	index := make([]int, len(readings))
	for i := range index {
		index[i] = i
	}
	whole := newSample(slices.Clone(readings), index)
	a := analyse(whole, o)
	if a.unsettled(len(readings)) {
		a = analysis{pieces: []piece{{s: whole, unsettled: true}}}
	}
	f.Curve = &Curve{pieces: a.pieces}
	f.DroppedReadings = append(f.DroppedReadings, a.dropped...)
	slices.Sort(f.DroppedReadings)
	last := a.pieces[len(a.pieces)-1]
	f.Forecast = at > last.s.last()
	f.Shape = a.shape(len(readings))
	f.light(a, at)
	return f, a, nil
}

func (f *Figures) note(format string, values ...any) {
	f.Notes = append(f.Notes, fmt.Sprintf(format, values...))
}

// light fills the figures of the time asked for and of the start.
func (f *Figures) light(a analysis, at float64) {
	first := a.pieces[0]
	if start, ok := first.start(); ok {
		f.StartLux = &start
	}
	e, ok := f.Curve.At(at)
	if !ok {
		return
	}
	f.LuxLow, f.LuxHigh = &e.Low, &e.High
	if e.HalfWidthPct() > f.options.HonestHalfWidthPct {
		f.note("the band at %s min is wider than %s %% either way: no single figure is given", short(at), short(f.options.HonestHalfWidthPct))
		return
	}
	f.Lux = &e.Lux
	if f.StartLux != nil {
		retained := 100 * e.Lux / *f.StartLux
		f.RetainedPct = &retained
	}
}

// settle fills what concerns the end of the warm-up, from the last piece.
func (f *Figures) settle(last piece, at float64) {
	if last.mixture == nil || len(last.s.readings) < leastForShape {
		return
	}
	if end, ok := last.mixture.estimate(mostMinutes * 100); ok && end.HalfWidthPct() <= f.options.HonestHalfWidthPct {
		f.SettledLux = &end.Lux
	}
	if t, ok := last.mixture.settledAt(f.options.Settle); ok {
		f.SettledAtMin = &t
	}
	f.Settled = at >= last.s.start() && last.mixture.settled(at, f.options.Settle) >= 0.95
}

// parameters fills the parameters of the best single curve and its time constant.
func (f *Figures) parameters(last piece) {
	if last.mixture == nil || !last.fit.solved {
		return
	}
	b, sd := last.fit.b, last.fit.sd
	f.Parameters = append(f.Parameters, Parameter{"settled", "lux", b[0], sd[0]})
	slow := 0.0
	for k := 1; k < len(b); k += 2 {
		tau := math.Exp(b[k+1])
		name := strconv.Itoa(k/2 + 1)
		f.Parameters = append(f.Parameters, Parameter{"drop " + name, "lux", b[k], sd[k]}, Parameter{"tau " + name, "min", tau, tau * sd[k+1]})
		if tau > slow && sd[k+1] < 0.5 {
			slow = tau
		}
	}
	if slow > 0 && len(last.s.readings) >= leastForShape {
		f.TauMin = &slow
	}
}

// shape names the series.
func (a analysis) shape(readings int) Shape {
	if readings < leastForShape {
		return ShapeUnknown
	}
	last := a.pieces[len(a.pieces)-1]
	switch {
	case last.unsettled:
		return ShapeUnsettled
	case len(a.steps) > 0:
		return ShapeStep
	case len(last.s.readings) < leastForShape:
		return ShapeUnknown
	case last.fit.terms == 0 || math.Abs(last.fit.change(last.s.last())) < flatChange:
		return ShapeFlat
	case last.fit.change(last.s.last()) > 0:
		return ShapeRising
	case last.fit.terms == 2:
		return ShapeTwo
	}
	return ShapeOne
}

// flatChange is the change that LM-79 calls settled, 0.5 %: certain or not, it is flat.
const flatChange = 0.005

func short(v float64) string { return strconv.FormatFloat(v, 'g', 3, 64) }

package warmup

import (
	"fmt"
	"math"
	"slices"
)

// RatioInput is one bulb's reading against stock in one rig, and what is known of how the two were
// taken. A nil or zero fact is unknown and counts at its worst plausible value, from Defaults.
type RatioInput struct {
	BulbLux, BulbLow, BulbHigh float64   // lux and its 95 % band, as from Figures
	StockLux                   []float64 // lux of the stock halogen, in order: first, last

	StockVolts, BulbVolts *float64   // volts at the plug while each was read
	VoltsRange            [2]float64 // least and most volts at the plug if unknown; 0 0 = Defaults
	ReferenceVolts        float64    // 0 = Defaults
	HalogenExponent       float64    // 0 = Defaults
	Halogen               bool       // the candidate itself is a halogen, whose flux moves with its own volts

	MeterClass       string   // "L", "A", "B", "C" of DIN 5032-7, "" unknown
	Seatings         int      // times the bulb was seated and read; 0 unknown
	SeatingSpreadPct *float64 // standard deviation of one seating, percent
	Samples          int      // bulbs of the model read; 0 unknown
	StockTolPct      *float64 // flux tolerance of the size, percent either way
	CapOn            *bool    // the dust cap was on
	SearchedPeak     *bool    // the hot spot was searched for with each bulb, not read at one point
	DistanceMM       *float64 // meter to lamp
	MovedMM          *float64 // by how much the meter may have moved between the readings
	TiltDeg          *float64 // by how much it may have been tilted for one of them
	LampSpreadPct    *float64 // standard deviation from lamp to lamp, percent; 0 for the rig itself
	EvidencePct      *float64 // further standard deviation for evidence from elsewhere; 0 for a like lamp

	Defaults Defaults // the zero value is StandardDefaults
}

// Part is one source of doubt in a ratio.
type Part struct {
	Name string
	RelU float64 // relative standard uncertainty
	// Shared says with what the error is common: "" with nothing, "stock" with every bulb of the
	// rig, "colour" mostly with the LEDs of the rig, "lamp" with what is fitted in the same lamp.
	Shared string
	Source string // how the figure came about
}

// The values of Part.Shared.
const (
	SharedStock  = "stock"
	SharedColour = "colour"
	SharedLamp   = "lamp"
)

// Ratio is a bulb's light over that of the stock halogen in the same lamp, both at one voltage.
type Ratio struct {
	AsRead         float64 // quotient of the readings (geometric mean of stock), at the volts they were taken
	Mid, Low, High float64 // at the reference voltage, with the 95 % band
	Parts          []Part  // the band's independent parts, each the same either way
	// Down and Up are what lies outside Parts: logarithms, not below 0, of one-sided limits. Down
	// (cap off) adds to the lower half in quadrature, Up (volts unknown) to the upper half whole.
	Down, Up     float64
	CrossesStock bool // the band holds 1: not distinguishable from stock
	Notes        []string
}

// VsStock gives the ratio of a bulb to stock with its band. It works in the logarithm, where factors
// add and relative uncertainties are plain ones.
//
// What does not enter: the calibration of the meter, its distance and its tilt, as far as they were
// the same for both readings. They are the same factor in numerator and denominator, correlation 1,
// and cancel (GUM 5.2.2 and F.1.2). What does: the repeatability of both readings, seating, samples,
// the colour mismatch between halogen and LED, the halogen's own tolerance and volts, what moved
// between the readings, and the way from this lamp to the owner's.
//
// A value outside its legal range gives a *ValueError.
func VsStock(in RatioInput) (Ratio, error) {
	d, err := in.check()
	if err != nil {
		return Ratio{}, err
	}
	r := &ratio{in: in, d: d}
	r.Notes = []string{"the calibration of the meter, its distance and its tilt cancel as far as they were the same for both readings"}
	r.readings()
	r.volts()
	r.colour()
	r.rig()
	r.elsewhere()
	return r.finish(), nil
}

// ratio is a Ratio under way; Mid is a logarithm until it is finished.
type ratio struct {
	Ratio
	in RatioInput
	d  Defaults
}

func (r *ratio) part(name string, u float64, shared, format string, values ...any) {
	if u > 0 {
		r.Parts = append(r.Parts, Part{Name: name, RelU: u, Shared: shared, Source: fmt.Sprintf(format, values...)})
	}
}

func (r *ratio) note(format string, values ...any) {
	r.Notes = append(r.Notes, fmt.Sprintf(format, values...))
}

// given is the fact if it is known, else the default, with a word for which.
func given(fact *float64, standard float64) (value float64, word string) {
	if fact != nil {
		return *fact, "as recorded"
	}
	return standard, "not recorded, at its worst plausible"
}

func (r *ratio) readings() {
	in, d := r.in, r.d
	stock := 0.0 // logarithm
	for _, lux := range in.StockLux {
		stock += math.Log(lux) / float64(len(in.StockLux))
	}
	r.Mid = math.Log(in.BulbLux) - stock
	r.AsRead = math.Exp(r.Mid)
	r.part(bulbReading, math.Log(in.BulbHigh/in.BulbLow)/(2*normal95), "", "its 95 %% band, %s to %s lux", short(in.BulbLow), short(in.BulbHigh))
	r.part("stock reading", d.RepeatPct/100/math.Sqrt(float64(len(in.StockLux))), SharedStock, "repeatability of %s %% over %d readings", short(d.RepeatPct), len(in.StockLux))
	drift := math.Log(slices.Max(in.StockLux) / slices.Min(in.StockLux))
	if len(in.StockLux) == 1 {
		drift = math.Log1p(d.StockDriftPct / 100)
		r.Mid -= drift / 2
		r.note("stock was read once: it may have moved by %s %%, and half of that counts against the bulb; read it first and last", short(d.StockDriftPct))
	} else if drift > math.Log1p(d.StockDriftPct/100) {
		r.note("stock moved by %s %% between its readings: repeat the run", short(100*math.Expm1(drift)))
	}
	r.part("stock drift", limit(drift/2), SharedStock, "stock within half of its change either way")
	tolerance, word := given(in.StockTolPct, d.StockTolPct)
	r.part("stock sample", limit(tolerance/100), SharedStock, "one halogen within %s %% of its size, all alike likely (GUM 4.3.7); %s", short(tolerance), word)
	seating, word := given(in.SeatingSpreadPct, d.SeatingSpreadPct)
	r.part("stock seating", seating/100, SharedStock, "one seating, %s %%; %s", short(seating), word)
	times := max(in.Seatings, 1)
	r.part("bulb seating", seating/100/math.Sqrt(float64(times)), "", "%d seatings, %s %% each; %s", times, short(seating), word)
	samples := max(in.Samples, 1)
	if in.Halogen {
		r.part("bulb sample", limit(tolerance/100)/math.Sqrt(float64(samples)), "", "%d halogens, each within %s %% of its size", samples, short(tolerance))
	} else {
		r.part("bulb sample", d.SampleSpreadPct/100/math.Sqrt(float64(samples)), "", "%d bulbs, %s %% from one to the next", samples, short(d.SampleSpreadPct))
	}
}

// colour is the mismatch of the meter between the two kinds of light; a halogen against a halogen
// has none.
func (r *ratio) colour() {
	if r.in.Halogen {
		return
	}
	pct, _ := classColour(r.in.MeterClass)
	class := "class " + r.in.MeterClass
	if r.in.MeterClass == "" {
		class = "class not recorded, taken as C"
		r.note("the meter's class is not recorded: it counts as class C of DIN 5032-7")
	}
	r.part("colour", limit(pct/100), SharedColour, "V(lambda) mismatch within %s %% (DIN 5032-7), %s", short(pct), class)
}

// rig is what may have changed between the two readings.
func (r *ratio) rig() {
	in, d := r.in, r.d
	distance, word := given(in.DistanceMM, d.LeastDistanceMM)
	moved, how := given(in.MovedMM, d.MovedMM)
	r.part("distance", limit(2*moved/distance), "", "the meter within %s mm (%s) at %s mm (%s); illuminance goes with the square", short(moved), how, short(distance), word)
	tilt, word := given(in.TiltDeg, d.TiltDeg)
	r.part("tilt", limit(1-math.Cos(tilt*math.Pi/180)), "", "within %s degrees, cosine law; %s", short(tilt), word)
	if in.SearchedPeak == nil || !*in.SearchedPeak {
		r.part("hot spot", limit(d.FixedPointPct/100), "", "read at one point, or not recorded: the hot spot may be elsewhere, within %s %%", short(d.FixedPointPct))
	}
	if !in.Halogen && (in.CapOn == nil || !*in.CapOn) {
		r.Down = -math.Log1p(-d.CapOffPct / 100)
		r.note("the cap was off, or it is not recorded: with the cap on the hot light may be up to %s %% less", short(d.CapOffPct))
	}
}

// elsewhere is the way from the lamp on the bench to the owner's.
func (r *ratio) elsewhere() {
	lamp, word := given(r.in.LampSpreadPct, r.d.LampSpreadPct)
	r.part("lamp to lamp", lamp/100, SharedLamp, "%s %% from one lamp to the next; %s", short(lamp), word)
	evidence, word := given(r.in.EvidencePct, r.d.EvidencePct)
	r.part("evidence", evidence/100, "", "%s %% for evidence from elsewhere; %s", short(evidence), word)
}

// bulbReading is the part whose band may lean to one side; it enters either half as it is.
const bulbReading = "bulb reading"

func (r *ratio) finish() Ratio {
	var c, u []float64
	for _, p := range r.Parts {
		if p.Name != bulbReading {
			c, u = append(c, 1), append(u, p.RelU)
		}
	}
	rest := normal95 * propagate(c, u, nil)
	lower := math.Hypot(rest, math.Log(r.in.BulbLux/r.in.BulbLow))
	upper := math.Hypot(rest, math.Log(r.in.BulbHigh/r.in.BulbLux))
	middle := r.Mid
	r.Mid = math.Exp(middle)
	r.Low = math.Exp(middle - math.Hypot(lower, r.Down))
	r.High = math.Exp(middle + r.Up + upper)
	r.CrossesStock = r.Low <= 1 && r.High >= 1
	return r.Ratio
}

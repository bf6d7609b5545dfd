package road

import (
	"errors"
	"fmt"
	"math"

	"stillbright/data"
)

// HalogenExponent is the power of the voltage that a halogen's flux follows near
// its rating [read at second hand, encyclopedia on re-rating; the ratio of the UN
// cd table at 13.2 V to its older lux table at 12 V, 1.33 to 1.43, agrees].
const HalogenExponent = 3.4

// HalogenExponentLeast is the lower end of the powers by which the figures of one lamp
// at 12.0 and 13.2 V differ: UN R37 has 700 and 900 lm, 450 and 600 lm for H17 [read],
// 1250 and 1650 lm for H4 [from memory], powers of 2.6, 3.0 and 2.9.
const HalogenExponentLeast = 2.9

// HalogenFlux is the light of a halogen at one voltage over that at another:
//
//	flux / reference flux = (volts / reference)^3.4
//
// Both in V at the plug, 5 to 32. 12.0 V against 13.2 V is 0.723, a loss of 28 %;
// by HalogenExponentLeast it is 24 %.
// An LED driver holds its current instead. Source: HalogenExponent.
func HalogenFlux(volts, reference float64) (float64, error) {
	err := firstError(
		within("volts at the plug", "V", volts, 5, 32),
		within("reference volts", "V", reference, 5, 32))
	if err != nil {
		return 0, err
	}
	return math.Pow(volts/reference, HalogenExponent), nil
}

// What can make a halogen lamp dim before a bulb is bought.
const (
	CauseVolts    = "volts"
	CauseLens     = "lens"
	CauseHalogens = "halogens"
	CauseAim      = "aim"
)

// BeforeInput is what is known of a lamp before anything is bought. A nil or false
// field is not known, and gives no cost.
type BeforeInput struct {
	Volts          *float64 // at the plug, engine running, 5 to 32; above 18 a 24 V system
	ReferenceVolts float64  // 0 is 13.2, or 28 in a 24 V system
	LensHazy       bool     // the owner sees haze or yellowing
	// Lux through the lens as it is and after cleaning, same place and meter; both
	// or neither (0 to 10^6).
	LensBefore, LensAfter *float64
	HalogenYears          *float64 // age of the bulbs, 0 to 60
	AimLowDeg             *float64 // how far the cutoff lies below its place, -3 to 3; negative is too high
	LampHeightM           float64  // 0.2 to 1.6; needed with AimLowDeg
	DipDeg                float64  // proper dip of the cutoff, 0 to 3
}

// Cost is what one cause takes away, and how to put it right.
type Cost struct {
	Cause string
	// Computed tells a figure that follows from what was given from one that is the
	// trade's usual range.
	Computed bool
	// LossLeast and LossMost are the percent of light lost; both nil when light is
	// not what is lost, or no figure is known.
	LossLeast, LossMost *float64
	// ReachRatio is the change of distance, 1 for none; nil when not known.
	ReachRatio *float64
	// CutoffFromM and CutoffToM are where the cutoff meets the road at its proper
	// dip and as it is, in m; nil but for aim, and where it never meets it.
	CutoffFromM, CutoffToM *float64
	Text                   string
	Fix                    string
	Source                 string
	Confidence             string
}

// oldHalogenYears is the age from which a halogen counts as old [common practice].
const oldHalogenYears = 3

// BeforeBuying gives the cost of each known cause, in a fixed order: volts, lens,
// halogens, aim. Volts and aim are computed; lens haze is computed from two readings
// and otherwise left without a figure; ageing is the trade's usual range. Sources
// stand in each Cost.
func BeforeBuying(in BeforeInput) ([]Cost, error) {
	costs := []Cost{}
	for _, cause := range []func(BeforeInput) (*Cost, error){voltsCost, lensCost, halogenCost, aimCost} {
		cost, err := cause(in)
		if err != nil {
			return nil, err
		}
		if cost != nil {
			costs = append(costs, *cost)
		}
	}
	return costs, nil
}

func voltsCost(in BeforeInput) (*Cost, error) {
	if in.Volts == nil {
		return nil, nil
	}
	reference := in.ReferenceVolts
	if reference == 0 {
		reference = 13.2
		if *in.Volts > 18 {
			reference = 28
		}
	}
	flux, err := HalogenFlux(*in.Volts, reference)
	if err != nil {
		return nil, err
	}
	if flux >= 1 {
		return nil, nil // nothing is lost
	}
	least, most, ratio := 100*(1-math.Pow(*in.Volts/reference, HalogenExponentLeast)), 100*(1-flux), math.Sqrt(flux)
	percent := fmt.Sprintf("%.0f", most)
	if from := fmt.Sprintf("%.0f", least); from != percent {
		percent = from + " to " + percent
	}
	return &Cost{
		Cause: CauseVolts, Computed: true, LossLeast: &least, LossMost: &most, ReachRatio: &ratio,
		Text:   fmt.Sprintf("%s V at the plug against %s V costs a halogen %s %% of its light.", short(*in.Volts), short(reference), percent),
		Fix:    "Measure at the plug with the engine running and the lamp lit; clean the plug and the earth point, or renew the wire.",
		Source: "halogen flux goes with the 2.9th to 3.4th power of the voltage", Confidence: data.ConfidenceReadSecondary,
	}, nil
}

func lensCost(in BeforeInput) (*Cost, error) {
	if (in.LensBefore == nil) != (in.LensAfter == nil) {
		return nil, errors.New("lens readings: before and after cleaning go together")
	}
	cost := &Cost{
		Cause:  CauseLens,
		Text:   "A hazy lens swallows light and scatters some of it into other eyes. How much is not known until it is cleaned.",
		Fix:    "Polish and seal the lens, or renew it; read the lux at one place before and after.",
		Source: "inspection bodies name worn lenses among the main causes of failure (Japanese trade press, 13 September 2023)", Confidence: data.ConfidenceRead,
	}
	if in.LensBefore == nil {
		if !in.LensHazy {
			return nil, nil
		}
		return cost, nil
	}
	err := firstError(
		within("lux before cleaning", "lx", *in.LensBefore, 0, 1e6),
		within("lux after cleaning", "lx", *in.LensAfter, 0.1, 1e6))
	if err != nil {
		return nil, err
	}
	share := *in.LensBefore / *in.LensAfter
	if share >= 1 {
		return nil, nil
	}
	loss, ratio := 100*(1-share), math.Sqrt(share)
	cost.Computed, cost.LossLeast, cost.LossMost, cost.ReachRatio = true, &loss, &loss, &ratio
	cost.Text = fmt.Sprintf("The lens took %.0f %% of the light at the place that was read.", loss)
	cost.Source, cost.Confidence = "the two readings", data.ConfidenceComputed
	return cost, nil
}

// What old halogens commonly give less than new ones, in percent [common practice].
const (
	OldHalogenLeastPct = 5.0
	OldHalogenMostPct  = 20.0
)

func halogenCost(in BeforeInput) (*Cost, error) {
	if in.HalogenYears == nil {
		return nil, nil
	}
	if err := within("age of the halogens", "years", *in.HalogenYears, 0, 60); err != nil {
		return nil, err
	}
	if *in.HalogenYears < oldHalogenYears {
		return nil, nil
	}
	least, most := OldHalogenLeastPct, OldHalogenMostPct
	return &Cost{
		Cause: CauseHalogens, LossLeast: &least, LossMost: &most,
		Text:   fmt.Sprintf("Old halogens commonly give %g to %g %% less light than new ones; a sagging filament also blurs the beam.", least, most),
		Fix:    "Renew both halogens as a pair, then aim.",
		Source: "common practice", Confidence: data.ConfidencePractice,
	}, nil
}

// aimCost is how far the cutoff reaches at its proper dip and as it is,
// CutoffDistance at dip and at dip + error. Less light is not what a low aim costs:
// the road beyond lies above the cutoff.
func aimCost(in BeforeInput) (*Cost, error) {
	if in.AimLowDeg == nil {
		return nil, nil
	}
	err := firstError(
		within("aim error", "deg", *in.AimLowDeg, -3, 3),
		within("dip", "deg", in.DipDeg, 0, 3))
	if err != nil {
		return nil, err
	}
	proper, hasProper, err := CutoffDistance(in.LampHeightM, in.DipDeg)
	if err != nil {
		return nil, err
	}
	if math.Abs(*in.AimLowDeg) < 0.01 { // finer than any wall shows
		return nil, nil
	}
	actual, hasActual, err := CutoffDistance(in.LampHeightM, math.Max(0, in.DipDeg+*in.AimLowDeg))
	if err != nil {
		return nil, err
	}
	cost := &Cost{
		Cause: CauseAim, Computed: true,
		Fix:    "Aim on a wall before anything is bought.",
		Source: "geometry: the cutoff meets the road at height over tan(dip)", Confidence: data.ConfidenceComputed,
	}
	if hasProper {
		cost.CutoffFromM = &proper
	}
	if hasActual {
		cost.CutoffToM = &actual
	}
	if hasProper && hasActual {
		ratio := actual / proper
		cost.ReachRatio = &ratio
	}
	switch {
	case *in.AimLowDeg < 0:
		cost.Text = fmt.Sprintf("The beam points %s degree too high: it dazzles others. A sharp beam half a degree too high is about five times the glare.", short(-*in.AimLowDeg))
		cost.Source, cost.Confidence = "drivingvisionnews.com, 8 November 2010", data.ConfidenceRead
	case hasProper:
		cost.Text = fmt.Sprintf("The beam points %s degree too low: its cutoff meets the road at %.0f m, not %.0f m.", short(*in.AimLowDeg), actual, proper)
	default:
		cost.Text = fmt.Sprintf("The beam points %s degree too low: its cutoff meets the road at %.0f m, where a proper one does not meet it at all.", short(*in.AimLowDeg), actual)
	}
	return cost, nil
}

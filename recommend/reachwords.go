package recommend

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"stillbright/data"
	"stillbright/data/quantity"
	"stillbright/recommend/road"
)

// say puts reach, stopping and glare into sentences. Each number in them is one of
// the document, rounded; nothing is promised that was not computed.
func (r *Reach) say(n Need, facts ReachFacts, g geometry) {
	u := roadUnits{imperial: n.Imperial || countryOf(n.Where) == "US"}
	r.sayRatio(facts)
	r.sayLines(u, facts, g)
	r.sayStopping(u, n)
	r.sayGlare(u, facts)
	if facts.Beam != data.BeamHigh {
		r.sayVeil(u, facts)
	}
}

func countryOf(where Word) string {
	country, _, _ := strings.Cut(string(where), "-")
	return country
}

func (r *Reach) add(format string, values ...any) {
	r.Says = append(r.Says, fmt.Sprintf(format, values...))
}

func (r *Reach) sayLines(u roadUnits, facts ReachFacts, g geometry) {
	if facts.Beam == data.BeamFog {
		return
	}
	if len(r.Lines) == 0 {
		r.add("No distance in %s: this beam was not measured direction by direction.", u.words())
	}
	r.sayLinesOf(u, r.Lines, g.lamps, "")
	r.sayLinesOf(u, r.StockLines, g.lamps, "Stock halogen, ")
	if r.Equivalent != nil && *r.Equivalent {
		r.add("The beam was measured nearer to the lamp than %s, so these are estimates from candela-equivalent figures.", u.distance(road.RegulatorDistanceUS))
	}
	for _, line := range r.Lines {
		if line.Sparse {
			r.add("The measured directions lie far apart there: an estimate, on the low side.")
			break
		}
	}
	if r.CapM != nil {
		r.add("The cutoff meets the road at %s; beyond it only light above the cutoff arrives.", u.distance(*r.CapM))
	}
	if len(r.Assumed) > 0 {
		r.add("Taken for granted: %s.", strings.Join(r.Assumed, ", "))
	}
}

func (r *Reach) sayLinesOf(u roadUnits, lines []ReachLine, lamps int, whose string) {
	count := "two lamps"
	if lamps == 1 {
		count = "one lamp"
	}
	for _, line := range lines {
		if line.Lamps != lamps {
			continue
		}
		r.add("%s%s lx line, %s: kerb side %s, centre side %s.", whose, quantity.Number(line.Lux), count,
			u.found(line.KerbM, line.KerbFound), u.found(line.CentreM, line.CentreFound))
	}
}

// sayStopping sets the stopping distance beside the light. Where no distance of
// light was measured, it stands alone and says so.
func (r *Reach) sayStopping(u roadUnits, n Need) {
	if n.SpeedKmh == nil || r.StoppingM == nil {
		return
	}
	const bound = "Those figures are made for laying out roads: an upper bound on stopping, and no advice on speed."
	if line, ok := r.stoppingLine(); ok {
		if text, err := road.AgainstStopping(line.reachM, line.lux, *n.SpeedKmh, u.imperial); err == nil {
			r.add("%s %s", text, bound)
			return
		}
	}
	speed, distance := *n.SpeedKmh, *r.StoppingM
	if u.imperial {
		speed /= kmPerMile
		stop, err := road.StoppingUS(speed)
		if err != nil {
			return
		}
		distance = stop.Total
	}
	r.add("Stopping from %.0f %s takes %.0f %s by the AASHTO design figures; no distance of light was measured to set beside it. %s",
		speed, u.speed(), math.Ceil(distance), u.short(), bound)
}

type litLine struct{ reachM, lux float64 }

// stoppingLine is the nearer side of the visibility line with all lamps, where
// both sides were reached.
func (r *Reach) stoppingLine() (litLine, bool) {
	for _, line := range r.Lines {
		if line.Lux == road.LuxVisibility && line.KerbFound == road.Reached && line.CentreFound == road.Reached {
			return litLine{math.Min(*line.KerbM, *line.CentreM), line.Lux}, true
		}
	}
	return litLine{}, false
}

func (r *Reach) sayGlare(u roadUnits, facts ReachFacts) {
	if facts.Beam == data.BeamHigh {
		return
	}
	if len(r.Eye) > 0 {
		r.sayEye(u)
		return
	}
	switch {
	case facts.Kind != data.KindLED:
	case r.EyeVsStock == nil:
		r.add("What an oncoming eye gets is not known: the light above the cutoff was not measured.")
	case *r.EyeVsStock > 0:
		r.add("An oncoming eye gets %s times the light that your halogen sends above the cutoff, %s on the de Boer scale of nine steps (formula from memory).",
			twoDigits(*r.EyeVsStock), deBoerSteps(*r.EyeVsStock))
	default:
		r.add("No light above the cutoff was measured toward an oncoming eye.")
	}
}

// deBoerSteps is the change of the de Boer rating when the light at the eye is
// multiplied by q: -2 log10 q (see road.DeBoer).
func deBoerSteps(q float64) string {
	steps := 2 * math.Log10(q)
	switch {
	case steps >= 0.05:
		return fmt.Sprintf("%.1f worse", steps)
	case steps <= -0.05:
		return fmt.Sprintf("%.1f better", -steps)
	}
	return "the same"
}

// sayEye words the light at an eye at one distance, as aimed, with misaim and with
// a collar error.
func (r *Reach) sayEye(u roadUnits) {
	at := func(what string) *EyeLight {
		for i, eye := range r.Eye {
			if eye.What == what && eye.DistanceM == exampleEyeM && eye.Lux != nil {
				return &r.Eye[i]
			}
		}
		return nil
	}
	aimed, misaim, collar := at("as_aimed"), at("misaim"), at("collar")
	if aimed == nil {
		r.add("What an oncoming eye gets is not known: the beam was not measured toward it.")
		return
	}
	text := fmt.Sprintf("At %s an oncoming eye gets %s lx as aimed", u.distance(exampleEyeM), twoDigits(*aimed.Lux))
	if misaim != nil {
		text += fmt.Sprintf(", %s lx a quarter degree too high", twoDigits(*misaim.Lux))
	}
	if collar != nil {
		text += fmt.Sprintf(", up to %s lx with a collar %s mm off (%s degree)", twoDigits(*collar.Lux), quantity.Number(collarMM), twoDigits(collar.RaiseDeg))
	}
	r.add("%s; the federal limit of adaptive beams there, a yardstick only, is %s lx.", text, quantity.Number(aimed.LimitLux))
	if aimed.DeBoer != nil {
		r.add("As aimed that rates %.1f on the de Boer scale, %s (formula from memory).", *aimed.DeBoer, road.DeBoerWord(*aimed.DeBoer))
	}
}

const (
	kmPerMile  = 1.609344
	metresFoot = 0.3048
)

// roadUnits prints road distances and speeds in the owner's units.
type roadUnits struct{ imperial bool }

func (u roadUnits) short() string {
	if u.imperial {
		return "ft"
	}
	return "m"
}

func (u roadUnits) words() string {
	if u.imperial {
		return "feet"
	}
	return "metres"
}

func (u roadUnits) speed() string {
	if u.imperial {
		return "mph"
	}
	return "km/h"
}

// distance is rounded down, so that no light is said to reach farther than it does.
func (u roadUnits) distance(m float64) string {
	if u.imperial {
		m /= metresFoot
	}
	return fmt.Sprintf("%.0f %s", math.Floor(m+1e-9), u.short())
}

func (u roadUnits) found(m *float64, how string) string {
	switch {
	case m == nil && how == road.NotLit:
		return "not lit so brightly"
	case m == nil:
		return "not measured"
	case how == road.AtLeast:
		return "at least " + u.distance(*m)
	}
	return u.distance(*m)
}

// twoDigits prints two significant digits in plain notation.
func twoDigits(value float64) string {
	if math.Abs(value) >= 10 {
		return strconv.FormatFloat(value, 'f', 0, 64)
	}
	text := strconv.FormatFloat(value, 'g', 2, 64)
	if strings.ContainsAny(text, "e") {
		return strconv.FormatFloat(value, 'f', 6, 64)
	}
	return text
}

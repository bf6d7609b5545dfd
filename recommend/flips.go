package recommend

import (
	"fmt"
	"math"
	"slices"

	"stillbright/recommend/sure"
)

// What a flip changes.
const (
	FlipWeight      = "weight"
	FlipBudget      = "budget"
	FlipMeasurement = "measurement"
)

// Flip is the smallest change of one number, all others fixed, that changes the
// bulb that is named.
type Flip struct {
	What   string   `json:"what" enum:"weight|budget|measurement" doc:"what is changed"`
	Of     string   `json:"of" enum:"output|pattern|heat|budget|vs_stock" doc:"the weight or the figure"`
	Bulb   Word     `json:"bulb" doc:"id of the bulb whose figure it is; null unless a measurement"`
	From   *float64 `json:"from" doc:"as it is; null: no budget was given"`
	To     float64  `json:"to" doc:"where the answer changes; a budget below its price"`
	Unit   Word     `json:"unit" doc:"currency of a budget; score of a pattern; null for a plain ratio"`
	Winner string   `json:"winner" doc:"id of the bulb named there; stock: the halogens stay"`
	Errors *float64 `json:"standard_errors" doc:"size of a measurement's change in its standard uncertainties; below 2 its own error can do it; null for the others"`
	Text   string   `json:"text" doc:"in words"`
}

// named is the bulb that the answer names, StockID when the halogens stay. It is
// the answer itself, asked at other weights, prices or figures.
func (b *ballot) named() (id, name string) {
	if chosen := b.first(b.allowed); chosen != nil {
		return chosen.Bulb, chosen.Name
	}
	return StockID, ""
}

// flips finds the smallest change of one weight, of the budget and of one
// measurement that changes the answer.
func (d *decision) flips(pick *Pick, b *ballot) []Flip {
	flips := []Flip{}
	all := []func() *Flip{func() *Flip { return d.weightFlip(b) }, func() *Flip { return d.budgetFlip(pick, b) }, func() *Flip { return d.measurementFlip(b) }}
	if d.lean {
		all = all[:2] // what one figure would change takes a third of a decision; the long answer has it
	}
	for _, find := range all {
		if found := find(); found != nil {
			flips = append(flips, *found)
		}
	}
	return flips
}

var criterionNames = [3]string{"output", "pattern", "heat"}

var weightWords = [3]string{"light", "the beam pattern", "heat"}

// nearest looks from one value toward another for the nearest value at which the
// answer is no longer the one named now: in even steps first, then by halving the
// step in which it changed. An answer that changes and changes back within a step
// is not seen. The value returned has the other answer.
func nearest(from, to float64, steps int, halvings int, base string, named func(float64) string) (at float64, winner string, ok bool) {
	last := from
	for k := 1; k <= steps; k++ {
		x := from + (to-from)*float64(k)/float64(steps)
		if winner = named(x); winner == base {
			last = x
			continue
		}
		for range halvings {
			middle := last + (x-last)/2
			if w := named(middle); w == base {
				last = middle
			} else {
				x, winner = middle, w
			}
		}
		return x, winner, true
	}
	return 0, "", false
}

const (
	weightSteps    = 10
	weightHalvings = 18
)

// weightFlip follows each weight up and down until the answer changes; the other
// two keep their proportion.
func (d *decision) weightFlip(b *ballot) *Flip {
	base, _ := b.named()
	var best *Flip
	for k, from := range b.weights {
		for _, end := range []float64{0, 1} {
			up := end > 0
			if best != nil { // no farther than what is found already
				end = math.Max(0, math.Min(1, from+side(up)*math.Abs(best.To-*best.From)))
			}
			if end == from {
				continue
			}
			other := *b
			at, winner, ok := nearest(from, end, weightSteps, weightHalvings, base, func(x float64) string {
				other.weights = reweighted(b.weights, k, x)
				id, _ := other.named()
				return id
			})
			if ok && (best == nil || math.Abs(at-from) < math.Abs(best.To-*best.From)) {
				best = &Flip{What: FlipWeight, Of: criterionNames[k], From: &from, To: at, Winner: winner}
				much := "more"
				if at < from {
					much = "less"
				}
				best.To = math.Max(0, at)
				best.Text = fmt.Sprintf("If %s mattered %s to you (weight %.2f, now %.2f), the answer would be: %s.", weightWords[k], much, best.To, from, b.wouldBe(winner))
			}
		}
	}
	return best
}

// reweighted sets one weight and scales the other two so that the sum stays 1;
// when both are zero they grow alike.
func reweighted(w [3]float64, k int, to float64) [3]float64 {
	a, b := (k+1)%3, (k+2)%3
	rest := w[a] + w[b]
	w[k] = to
	if rest == 0 {
		w[a], w[b] = (1-to)/2, (1-to)/2
		return w
	}
	w[a], w[b] = (1-to)*w[a]/rest, (1-to)*w[b]/rest
	return w
}

// wouldBe words the answer beyond a flip.
func (b *ballot) wouldBe(id string) string {
	for i := range b.ranked {
		if b.ranked[i].Bulb == id {
			return b.ranked[i].Name
		}
	}
	return "keep the halogens"
}

const (
	measuredMost     = 3.0 // standard uncertainties beyond which a figure is not doubted
	measuredSteps    = 1
	measuredHalvings = 18
	challengers      = 2 // bulbs whose better figure is asked for, beside the best one's worse
)

// measurementFlip finds the figure whose smallest change, in units of its own
// uncertainty, changes the answer: the best bulb's light or pattern worse, or that
// of the next ones better.
func (d *decision) measurementFlip(b *ballot) *Flip {
	base, _ := b.named()
	var best *Flip
	for n, r := range b.inOrder(b.allowed) {
		if n > challengers {
			break
		}
		direction := 1.0
		if r.Bulb == base {
			direction = -1
		}
		c := b.field.Candidate(r.judged.place)
		for _, figure := range []int{sure.Output, sure.Pattern} {
			unit := c.Spread()
			if figure == sure.Pattern {
				unit = (c.Pattern.Mid - c.Pattern.Low) * toStandard
				if c.PatternKey != "" {
					continue // the beam of the lamp, not of the bulb
				}
			}
			most := measuredMost
			if best != nil {
				most = *best.Errors
			}
			if unit == 0 || most == 0 {
				continue // nobody knows how wrong it may be, so nobody knows how far that is
			}
			at, winner, ok := nearest(0, direction*most, measuredSteps, measuredHalvings, base, func(x float64) string {
				return b.withFigure(r, moved(c, figure, x*unit))
			})
			if ok && (best == nil || math.Abs(at) < *best.Errors) {
				best = b.measured(r, figure, moved(c, figure, at*unit), math.Abs(at), winner)
			}
		}
	}
	return best
}

// moved is a candidate with one figure moved: the log of its light, or its pattern.
func moved(c sure.Candidate, figure int, by float64) sure.Candidate {
	if figure == sure.Output {
		c.Ratio *= math.Exp(by)
		return c
	}
	shift := func(v float64) float64 { return clamp01(v + by) }
	c.Pattern = sure.Band{Low: shift(c.Pattern.Low), Mid: shift(c.Pattern.Mid), High: shift(c.Pattern.High)}
	return c
}

// withFigure is who is named when one bulb's figures are others.
func (b *ballot) withFigure(r *Ranked, c sure.Candidate) string {
	other := *b
	other.field = b.field.With(r.judged.place, c)
	other.values = slices.Clone(b.values)
	other.values[r.judged.place] = c.Expected()
	id, _ := other.named()
	return id
}

func tierOf(high float64) string {
	if high < 1 {
		return TierDimmer
	}
	return TierAhead
}

func (b *ballot) measured(r *Ranked, figure int, c sure.Candidate, errors float64, winner string) *Flip {
	flip := &Flip{What: FlipMeasurement, Bulb: Word(r.Bulb), Winner: winner, Errors: &errors}
	var from float64
	var what string
	if figure == sure.Output {
		from = r.judged.mid
		flip.Of, flip.To = "vs_stock", from*c.Ratio/b.field.Candidate(r.judged.place).Ratio
		what = fmt.Sprintf("%s gave %.2f times the light of your halogen instead of %.2f", r.Name, flip.To, from)
	} else {
		from = 100 * b.field.Candidate(r.judged.place).Pattern.Mid
		flip.Of, flip.To, flip.Unit = "pattern", 100*c.Pattern.Mid, "score"
		what = fmt.Sprintf("the beam pattern of %s scored %.0f instead of %.0f", r.Name, flip.To, from)
	}
	flip.From = &from
	flip.Text = fmt.Sprintf("If %s (%.1f times its standard uncertainty), the answer would be: %s.", what, errors, b.wouldBe(winner))
	return flip
}

// toStandard turns the half-width of a 95 % band into a standard uncertainty.
const toStandard = 1 / 1.959964

// side is 1 up, -1 down.
func side(up bool) float64 {
	if up {
		return 1
	}
	return -1
}

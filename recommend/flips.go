package recommend

import (
	"fmt"
	"math"
	"slices"

	"stillbright/data"
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
	Bulb   Word     `json:"bulb" doc:"id of the bulb whose figure it is; stock is the fitted halogen; null unless a measurement"`
	From   *float64 `json:"from" doc:"as it is; null: no budget was given"`
	To     float64  `json:"to" doc:"where the answer changes"`
	Unit   Word     `json:"unit" doc:"currency of a budget; score of a pattern; null for a plain ratio"`
	Winner string   `json:"winner" doc:"id of the bulb named beyond; stock: the halogens stay"`
	Errors *float64 `json:"standard_errors" doc:"size of a measurement's change in its standard uncertainties; below 2 its own error can do it; null for the others"`
	Text   string   `json:"text" doc:"in words"`
}

// contender is who may be named: what the answer looks at.
type contender struct {
	id, name   string
	kind       string
	values     [3]float64
	low, high  float64 // band of hot vs stock; 0 0: not known
	mid        float64
	patternErr float64 // standard uncertainty of the pattern value
}

func contenders(list []Ranked) []contender {
	var out []contender
	for _, r := range list {
		c := contender{id: r.Bulb, name: r.Name, kind: r.Kind, values: r.Parts.vector(), mid: r.judged.mid, patternErr: bandError(r.Pattern)}
		if h := r.Hot; h.VsStockLow != nil {
			c.low, c.high = *h.VsStockLow, *h.VsStockHigh
		}
		out = append(out, c)
	}
	return out
}

// toStandard turns the half-width of a 95 % band into a standard uncertainty.
const toStandard = 1 / 1.959964

// bandError is the standard uncertainty of a pattern value.
func bandError(b Band) float64 {
	if b.Low == nil || b.High == nil {
		return 0
	}
	return (*b.High - *b.Low) / 200 * toStandard
}

func (c contender) tied() bool   { return c.low > 0 && c.low <= 1 && c.high >= 1 }
func (c contender) dimmer() bool { return c.high > 0 && c.high < 1 }

// named is the answer as pick gives it, over contenders in ranked order: the
// place of the bulb, or -1 when the halogens stay.
func named(list []contender, stock [3]float64, w [3]float64) int {
	leader, led := -1, false
	for i, c := range list {
		led = led || c.kind == data.KindLED
		if leader < 0 || before(c, list[leader], w) {
			leader = i
		}
	}
	if !led || list[leader].tied() || weigh(w, list[leader].values) <= weigh(w, stock) {
		return -1
	}
	return leader
}

func before(a, b contender, w [3]float64) bool {
	if a.dimmer() != b.dimmer() {
		return b.dimmer()
	}
	return weigh(w, a.values) > weigh(w, b.values)
}

func weigh(w, v [3]float64) float64 { return w[0]*v[0] + w[1]*v[1] + w[2]*v[2] }

// flips finds the smallest change of one weight, of the budget and of one
// measurement that changes the answer. Each is checked against the whole rule of
// the answer, ties with stock and tiers included.
func (d *decision) flips(pick *Pick) []Flip {
	list, stock := contenders(pick.Ranked), pick.Stock.Parts.vector()
	flips := []Flip{}
	for _, found := range []*Flip{d.weightFlip(list, stock), d.budgetFlip(pick), d.measurementFlip(list, stock, pick.Stock)} {
		if found != nil {
			flips = append(flips, *found)
		}
	}
	return flips
}

var criterionNames = [3]string{"output", "pattern", "heat"}

// beyond is how far past a flip the answer is looked at; the flips of sure are
// exact to far below it.
const beyond = 1e-7

// weightFlip follows each weight up and down, from one change of the leader to
// the next, until the answer itself changes.
func (d *decision) weightFlip(list []contender, stock [3]float64) *Flip {
	weights := d.need.Weights.Vector()
	base := named(list, stock, weights)
	values := [][3]float64{stock}
	for _, c := range leadingTier(list) {
		values = append(values, c.values)
	}
	var best *Flip
	for k := range weights {
		for _, up := range []bool{false, true} {
			w := weights
			for range values {
				to, ok := nextWeight(values, w, k, up)
				if !ok {
					break
				}
				past := to + beyond
				if !up {
					past = to - beyond
				}
				if past <= 0 || past >= 1 {
					break
				}
				w = reweighted(weights, k, past)
				winner := named(list, stock, w)
				if winner == base {
					continue
				}
				if from := weights[k]; best == nil || math.Abs(to-from) < math.Abs(best.To-*best.From) {
					best = &Flip{What: FlipWeight, Of: criterionNames[k], From: &from, To: to, Winner: idOf(list, winner)}
					best.Text = fmt.Sprintf("If %s weighed %.2f instead of %.2f, %s.", weightWords[k], to, from, wouldBe(list, winner))
				}
				break
			}
		}
	}
	return best
}

var weightWords = [3]string{"light", "pattern", "heat"}

// leadingTier leaves out the bulbs dimmer than stock as long as there are
// others: they never lead.
func leadingTier(list []contender) []contender {
	ahead := slices.DeleteFunc(slices.Clone(list), contender.dimmer)
	if len(ahead) == 0 {
		return list
	}
	return ahead
}

// nextWeight is the nearest weight of criterion k, up or down, at which the
// leader by score changes.
func nextWeight(values [][3]float64, w [3]float64, k int, up bool) (float64, bool) {
	found, err := sure.FlipWeight(values, w)
	if err != nil {
		return 0, false
	}
	for _, f := range found {
		if f.Criterion == k && (f.To > f.From) == up && f.To != f.From {
			return f.To, true
		}
	}
	return 0, false
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

func idOf(list []contender, i int) string {
	if i < 0 {
		return StockID
	}
	return list[i].id
}

// wouldBe words the answer beyond a flip.
func wouldBe(list []contender, i int) string {
	if i < 0 {
		return "the halogens would stay"
	}
	return list[i].name + " would be named"
}

package sure

import (
	"math"
	"math/rand/v2"
)

// tally runs the draws and counts.
type tally struct {
	lead        int
	candidates  []Candidate
	weights     [3]float64
	populations [3]*population

	first []float64
	ranks [][]float64
	beats [][]float64 // wins of a over b, by halves where level; b < a until the end
	above []int       // scratch: who stands above a in this draw
}

const (
	pilotDraws = 400
	outOfReach = 4.5 // standard deviations by which a candidate must trail to be left out
)

func (t *tally) run(r *rand.Rand, draws int) {
	n := len(t.candidates)
	var drawn [3][]float64
	for k := range drawn {
		drawn[k] = make([]float64, n)
	}
	t.first, t.ranks, t.beats, t.above = make([]float64, n), square(t.lead), square(t.lead), make([]int, t.lead)
	scales := make([]rootScale, n)
	which := make([]int, n)
	for i := range which {
		which[i] = i
		scales[i] = t.candidates[i].Scale.root()
	}
	scores := make([]float64, n)
	sum, squares := make([]float64, n), make([]float64, n)
	pilot := min(pilotDraws, draws)
	for d := range draws {
		for k, p := range t.populations {
			if t.weights[k] > 0 {
				p.draw(r, which, drawn[k])
			}
		}
		for _, i := range which {
			scores[i] = t.weights[Output]*scales[i].fromLog(drawn[Output][i]) +
				t.weights[Pattern]*unit(drawn[Pattern][i]) + t.weights[Heat]*unit(drawn[Heat][i])
		}
		t.count(scores, which)
		if d >= pilot {
			continue
		}
		floor := scores[0]
		for _, s := range scores[1:t.lead] {
			floor = min(floor, s)
		}
		for i, s := range scores {
			sum[i] += s - floor
			squares[i] += (s - floor) * (s - floor)
		}
		if d == pilot-1 {
			which = within(sum, squares, t.lead, float64(pilot))
		}
	}
	for i := range t.first {
		t.first[i] /= float64(draws)
	}
	for a := range t.lead {
		for r := range t.ranks[a] {
			t.ranks[a][r] /= float64(draws)
		}
		t.beats[a][a] = 0.5
		for b := range a {
			t.beats[a][b] /= float64(draws)
			t.beats[b][a] = 1 - t.beats[a][b]
		}
	}
}

// within leaves out of the further draws the candidates that trail the last of
// the lead by so much that they would hardly ever overtake it. The lead itself
// comes first and stays.
func within(sum, squares []float64, lead int, draws float64) []int {
	var which []int
	for i := range sum {
		mean := sum[i] / draws
		sd := math.Sqrt(max(0, squares[i]/draws-mean*mean))
		if i < lead || mean+outOfReach*sd >= 0 {
			which = append(which, i)
		}
	}
	return which
}

// count adds one draw. which starts with the lead.
func (t *tally) count(scores []float64, which []int) {
	best, at, level := math.Inf(-1), 0, false
	for _, i := range which {
		if s := scores[i]; s > best {
			best, at, level = s, i, false
		} else if s == best {
			level = true
		}
	}
	if level {
		t.shareFirst(scores, which, best)
	} else {
		t.first[at]++
	}
	above, alike := t.above, false
	clear(above)
	for a, own := range scores[:len(above)] {
		beats, over := t.beats[a][:a], above[:a]
		higher := 0
		for b, s := range scores[:a] {
			switch {
			case own > s:
				beats[b]++
				over[b]++
			case own < s:
				higher++
			default:
				beats[b] += 0.5
				alike = true
			}
		}
		above[a] = higher
	}
	for _, i := range which[t.lead:] {
		for a, own := range scores[:t.lead] {
			if scores[i] > own {
				above[a]++
			} else if scores[i] == own {
				alike = true
			}
		}
	}
	for a, r := range above {
		if alike {
			t.shareRanks(scores, which, a)
		} else if r < t.lead {
			t.ranks[a][r]++
		}
	}
}

// shareFirst splits the first place among the candidates that are level.
func (t *tally) shareFirst(scores []float64, which []int, best float64) {
	level := 0.0
	for _, i := range which {
		if scores[i] == best {
			level++
		}
	}
	for _, i := range which {
		if scores[i] == best {
			t.first[i] += 1 / level
		}
	}
}

// shareRanks splits the ranks of candidate a among all that are level with it.
func (t *tally) shareRanks(scores []float64, which []int, a int) {
	alike := 0
	for _, i := range which {
		if scores[i] == scores[a] {
			alike++
		}
	}
	for k := t.above[a]; k < min(t.above[a]+alike, t.lead); k++ {
		t.ranks[a][k] += 1 / float64(alike)
	}
}

func square(n int) [][]float64 {
	out := make([][]float64, n)
	for i := range out {
		out[i] = make([]float64, n)
	}
	return out
}

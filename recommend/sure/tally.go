package sure

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/mathext/prng"

	"stillbright/data"
)

// drawing is what the draws are made from.
type drawing struct {
	weights     [3]float64
	populations [3]*population
	scales      []rootScale
	lead        int
}

const (
	pilotDraws = 400
	outOfReach = 4.5 // standard deviations by which a candidate must trail to be left out
	blockDraws = 250 // drawn in one go; small enough that all processors stay busy
)

// run makes the draws block by block, side by side. Each block has its own
// numbers, so the result is the same however many are drawn at a time.
func (d *drawing) run(seed uint64, draws int) *tally {
	n := len(d.scales)
	which := make([]int, n)
	for i := range which {
		which[i] = i
	}
	// xoshiro256++ (https://prng.di.unimi.it, as gonum has it): drawing
	// normals from it takes two thirds of the time that Go's PCG takes.
	seeds := prng.NewXoshiro256plusplus(seed)
	total := newTally(n, d.lead)
	if n > d.lead { // only then is there anybody to leave out
		pilot := min(pilotDraws, draws)
		trailing := newTrail(n, d.lead)
		d.block(rand.New(prng.NewXoshiro256plusplus(seeds.Uint64())), pilot, which, total, trailing)
		which, draws = trailing.within(float64(pilot)), draws-pilot
	}
	blocks := make([]*tally, (draws+blockDraws-1)/blockDraws)
	sources := make([]rand.Source, len(blocks))
	for i := range blocks {
		blocks[i], sources[i] = newTally(n, d.lead), prng.NewXoshiro256plusplus(seeds.Uint64())
	}
	data.SideBySide(len(blocks), func(i int) {
		d.block(rand.New(sources[i]), min(blockDraws, draws-i*blockDraws), which, blocks[i], nil)
	})
	for _, b := range blocks {
		total.add(b)
	}
	return total
}

// block makes some draws of the candidates listed and counts them; trailing, if
// asked for, hears of their scores.
func (d *drawing) block(r *rand.Rand, draws int, which []int, count *tally, trailing *trail) {
	n := len(d.scales)
	scores, drawn := make([]float64, n), make([]float64, n)
	var scratch [3]scratch
	for k, p := range d.populations {
		scratch[k] = p.scratch()
	}
	for range draws {
		clear(scores)
		for k, p := range d.populations {
			w := d.weights[k]
			if w == 0 {
				continue
			}
			p.draw(r, scratch[k], which, drawn)
			if k == Output {
				for _, i := range which {
					scores[i] += w * d.scales[i].fromLog(drawn[i])
				}
				continue
			}
			for _, i := range which {
				scores[i] += w * unit(drawn[i])
			}
		}
		count.draw(scores, which)
		if trailing != nil {
			trailing.draw(scores)
		}
	}
}

// tally counts draws.
type tally struct {
	lead  int
	draws int
	first []float64
	// beats[a*lead+b], b < a, is twice the draws in which a stood above b, and
	// once those in which they were level.
	beats []int
}

func newTally(n, lead int) *tally {
	return &tally{lead: lead, first: make([]float64, n), beats: make([]int, lead*lead)}
}

// draw counts one draw. The lead comes first in which.
func (t *tally) draw(scores []float64, which []int) {
	t.draws++
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
	for a, own := range scores[:t.lead] {
		row := t.beats[a*t.lead:][:a]
		for b, s := range scores[:len(row)] {
			wins := row[b] // no branch: which way it goes cannot be guessed
			if own > s {
				wins += 2
			}
			if own == s {
				wins++
			}
			row[b] = wins
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

func (t *tally) add(other *tally) {
	t.draws += other.draws
	for i, n := range other.first {
		t.first[i] += n
	}
	for i, n := range other.beats {
		t.beats[i] += n
	}
}

// shares turns the counts into probabilities: of being first, and of each of the
// lead standing above each other.
func (t *tally) shares() (first []float64, beats [][]float64) {
	first, beats = make([]float64, len(t.first)), make([][]float64, t.lead)
	for i, n := range t.first {
		first[i] = n / float64(t.draws)
	}
	for a := range beats {
		beats[a] = make([]float64, t.lead)
		beats[a][a] = 0.5
		for b := range a {
			beats[a][b] = float64(t.beats[a*t.lead+b]) / float64(2*t.draws)
			beats[b][a] = 1 - beats[a][b]
		}
	}
	return first, beats
}

// trail gathers by how much each candidate trails the best of the lead.
type trail struct {
	lead         int
	sum, squares []float64
}

func newTrail(n, lead int) *trail {
	return &trail{lead, make([]float64, n), make([]float64, n)}
}

func (t *trail) draw(scores []float64) {
	best := slices.Max(scores[:t.lead])
	for i, s := range scores {
		t.sum[i] += s - best
		t.squares[i] += (s - best) * (s - best)
	}
}

// within leaves out the candidates that trail by so much that they would hardly
// ever be first: behind the lead, nothing else is counted. The lead itself comes
// first and stays.
func (t *trail) within(draws float64) []int {
	var which []int
	for i := range t.sum {
		mean := t.sum[i] / draws
		sd := math.Sqrt(max(0, t.squares[i]/draws-mean*mean))
		if i < t.lead || mean+outOfReach*sd >= 0 {
			which = append(which, i)
		}
	}
	return which
}

package sure

import (
	"fmt"
	"math"

	"stillbright/data"
)

// populationsOf turns candidates into the readings of the three criteria.
func populationsOf(candidates []Candidate, usual [3]float64) (out [3]*population, err error) {
	kinds := map[string]int{}
	for i, c := range candidates {
		if err := c.check(); err != nil {
			return out, fmt.Errorf("candidate %d: %w", i+1, err)
		}
		if _, ok := kinds[c.Kind]; !ok {
			kinds[c.Kind] = len(kinds)
		}
	}
	merged := make([][]Part, len(candidates))
	sharers := map[Part]int{} // how many candidates have the error
	for i, c := range candidates {
		merged[i] = merge(c.Parts)
		for _, p := range merged[i] {
			sharers[Part{Key: p.Key, Owner: p.Owner}]++
		}
	}
	columns, awaiting := keys{from: len(kinds)}, keys{}
	var readings [3][]reading
	for k := range readings {
		readings[k] = make([]reading, len(candidates))
	}
	for i, c := range candidates {
		kind := kinds[c.Kind]
		r := reading{value: math.Log(c.Ratio), kind: kind}
		for _, p := range merged[i] {
			alone := p.Key == "" || sharers[Part{Key: p.Key, Owner: p.Owner}] == 1
			switch {
			case p.Owner && alone:
				r.ahead += p.Rel * p.Rel
			case p.Owner:
				r.awaits = append(r.awaits, load{awaiting.number(p.Key), p.Rel})
			case alone:
				r.own += p.Rel * p.Rel
			default:
				r.shared = append(r.shared, load{columns.number(p.Key), p.Rel})
			}
		}
		readings[Output][i] = r
		readings[Pattern][i], readings[Heat][i] = c.Pattern.reading(kind), c.Heat.reading(kind)
	}
	data.SideBySide(len(out), func(k int) {
		shared, awaited := 0, 0
		if k == Output {
			shared, awaited = len(columns.known), len(awaiting.known)
		}
		out[k] = newPopulation(readings[k], len(kinds), len(kinds)+shared, awaited, usual[k])
	})
	return out, nil
}

// keys numbers the shared errors in order of appearance.
type keys struct {
	from  int
	known map[string]int
}

func (k *keys) number(key string) int {
	n, ok := k.known[key]
	if !ok {
		if k.known == nil {
			k.known = map[string]int{}
		}
		n = k.from + len(k.known)
		k.known[key] = n
	}
	return n
}

// merge adds up the parts of one candidate that are one error: the same key.
func merge(parts []Part) []Part {
	var out []Part
next:
	for _, p := range parts {
		for i := range out {
			if p.Key != "" && out[i].Key == p.Key && out[i].Owner == p.Owner {
				out[i].Rel += p.Rel
				continue next
			}
		}
		out = append(out, p)
	}
	return out
}

// reading turns a band into a mean, a variance and a shape: half a normal below
// the median, half a normal above it. A side that ends at 0 or 1 was cut there
// and says nothing of the error beyond, so it is taken to be at least as wide
// as the other side.
func (b Band) reading(kind int) reading {
	below, above := (b.Mid-b.Low)/bandWidth, (b.High-b.Mid)/bandWidth
	if b.High == 1 {
		above = max(above, below)
	}
	if b.Low == 0 {
		below = max(above, below)
	}
	shift := (above - below) / math.Sqrt(2*math.Pi) // mean of the two halves, from the median
	variance := (below*below+above*above)/2 - shift*shift
	r := reading{value: b.Mid + shift, own: variance, kind: kind}
	if sd := math.Sqrt(variance); sd > 0 {
		r.bend = bend{[2]float64{above / sd, below / sd}, shift / sd}
	}
	return r
}

func (c Candidate) check() error {
	if !(c.Ratio > 0) || math.IsInf(c.Ratio, 0) {
		return fmt.Errorf("hot vs stock %g, legal: a finite number above 0", c.Ratio)
	}
	if err := c.Scale.check(); err != nil {
		return err
	}
	for _, p := range c.Parts {
		if !(p.Rel >= 0 && p.Rel <= 2) {
			return fmt.Errorf("error part %q: relative standard uncertainty %g, legal: 0 to 2", p.Name, p.Rel)
		}
	}
	for k, b := range []Band{c.Pattern, c.Heat} {
		if !(0 <= b.Low && b.Low <= b.Mid && b.Mid <= b.High && b.High <= 1) {
			return fmt.Errorf("band of %s %g, %g, %g, legal: rising from 0 to 1", []string{"pattern", "heat"}[k], b.Low, b.Mid, b.High)
		}
	}
	return nil
}

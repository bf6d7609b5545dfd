package recommend

import (
	"stillbright/data"
	"stillbright/recommend/warmup"
)

// memory holds what was seen of bulbs, for deciding many needs of one catalog:
// most of what an owner can add does not change it. It belongs to one goroutine.
type memory struct {
	views   map[viewKey]view
	reduced map[reducedKey]reduced
	spread  map[string]float64
}

// viewKey is everything of a need that a view depends on.
type viewKey struct {
	bulb, size, beam, housing, climate string
	tripMin                            float64
}

// recall looks at a bulb, or remembers what it looked like.
func (d *decision) recall(bulb data.Bulb, beam, housing string) view {
	if d.memory == nil {
		return d.look(bulb, beam, housing)
	}
	key := viewKey{bulb.ID, d.need.Size, beam, housing, string(d.need.Climate), d.need.TripMin}
	v, ok := d.memory.views[key]
	if !ok {
		if d.memory.views == nil {
			d.memory.views = map[viewKey]view{}
		}
		v = d.look(bulb, beam, housing)
		d.memory.views[key] = v
	}
	return v
}

// reducedKey names a test and the minute at which it is judged. The readings of
// a test stand in one place for as long as the catalog is in use.
type reducedKey struct {
	first   *data.Reading
	tripMin float64
}

type reduced struct {
	figures warmup.Figures
	err     error
}

// reduce carries the readings of a test to the end of the trip, or remembers it.
func (d *decision) reduce(test data.Test) (warmup.Figures, error) {
	if d.memory == nil || len(test.Readings) == 0 {
		return warmup.Reduce(readingsOf(test), d.need.TripMin, d.warmupOptions())
	}
	key := reducedKey{&test.Readings[0], d.need.TripMin}
	r, ok := d.memory.reduced[key]
	if !ok {
		if d.memory.reduced == nil {
			d.memory.reduced = map[reducedKey]reduced{}
		}
		r.figures, r.err = warmup.Reduce(readingsOf(test), d.need.TripMin, d.warmupOptions())
		d.memory.reduced[key] = r
	}
	return r.figures, r.err
}

// spreads is lampSpreads, remembered.
func (m *memory) spreads(c *data.Catalog, rules data.BenchRules) map[string]float64 {
	if m.spread == nil {
		m.spread = lampSpreads(c, rules)
	}
	return m.spread
}

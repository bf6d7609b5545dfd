package recommend

import (
	"slices"
	"sync"

	"stillbright/data"
	"stillbright/recommend/warmup"
)

// memory holds what was seen of bulbs, for deciding many needs of one catalog:
// most of what an owner can add does not change it.
type memory struct {
	index  *index
	spread map[string]float64

	lock    sync.Mutex // of the maps below; what is not yet in them is made outside
	views   map[viewKey]view
	reduced map[reducedKey]reduced

	beams beams
}

// of makes what every decision on a catalog needs, once.
func (m *memory) of(c *data.Catalog, rules data.BenchRules) {
	if m.index == nil {
		m.index = newIndex(c)
		m.spread = lampSpreads(c, m.index, rules)
	}
}

// viewKey is everything of a need that a view depends on.
type viewKey struct {
	bulb, size, beam, housing, climate, halogens string
	tripMin, volts                               float64
}

// recall looks at a bulb, or remembers what it looked like; lit asks for its light,
// too.
func (d *decision) recall(bulb *data.Bulb, beam, housing string, lit bool) view {
	m := d.memory
	key := viewKey{bulb.ID, d.need.Size, beam, housing, string(d.need.Climate), string(d.need.Halogens), d.need.TripMin, orZero(d.need.Volts)}
	m.lock.Lock()
	v, ok := m.views[key]
	m.lock.Unlock()
	if ok && (v.lit || !lit) {
		return v
	}
	if !ok {
		v = d.look(bulb, beam, housing)
	}
	if lit {
		v.missing, v.cautions = slices.Clone(v.missing), slices.Clone(v.cautions)
		d.lookOn(&v, bulb)
	}
	m.lock.Lock()
	defer m.lock.Unlock()
	if m.views == nil {
		m.views = map[viewKey]view{}
	}
	m.views[key] = v
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
func (d *decision) reduce(test *data.Test) (warmup.Figures, error) {
	if len(test.Readings) == 0 {
		return warmup.Light(nil, d.need.TripMin, d.know.WarmupOptions())
	}
	m := d.memory
	key := reducedKey{&test.Readings[0], d.need.TripMin}
	m.lock.Lock()
	r, ok := m.reduced[key]
	m.lock.Unlock()
	if ok {
		return r.figures, r.err
	}
	r.figures, r.err = warmup.Light(readingsOf(test), d.need.TripMin, d.know.WarmupOptions())
	m.lock.Lock()
	defer m.lock.Unlock()
	if m.reduced == nil {
		m.reduced = map[reducedKey]reduced{}
	}
	m.reduced[key] = r
	return r.figures, r.err
}

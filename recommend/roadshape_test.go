package recommend_test

import (
	"math"
	"testing"

	"stillbright/data"
	"stillbright/data/known/knowntest"
	"stillbright/recommend"
)

// flat is a beam of one intensity over the road and another at its peak.
func flat(peak, toward float64) []data.BeamPoint {
	points := []data.BeamPoint{{H: 0.3, V: -2.5, CD: peak}}
	for _, h := range []float64{-6, -3, 0, 3, 6} {
		for _, v := range []float64{-3, -1.5, -0.8, -0.2, 0.5} {
			points = append(points, data.BeamPoint{H: h, V: v, CD: toward})
		}
	}
	return points
}

// TestBeamTowardTheRoad: a beam that carries more of its light to the road than
// the stock beam counts more, by the ratio of the two shares; one that carries as
// much counts as its hot spot says; one that carries less counts less, down to what
// one counts that was not measured direction by direction.
func TestBeamTowardTheRoad(t *testing.T) {
	k := knowntest.Knowledge()
	judge := func(stock, bulb []data.BeamPoint) recommend.Ranked {
		c := practiceCatalog(13.2)
		c.Rigs[0].Stock = &data.PatternRecord{Method: "grid", Parts: &data.Parts{}, Candela: stock}
		c.Bulbs[0].Lots[0].Tests[0].Pattern.Candela = bulb
		return decide(t, &k, &c, projector(func(n *recommend.Need) { n.Driving = []string{"rural"} })).Ranked[0]
	}
	plain := judge(nil, nil)
	if plain.OutputWhy != "" {
		t.Errorf("without a measured beam: %q", plain.OutputWhy)
	}
	same := judge(flat(20000, 8000), flat(40000, 16000))
	less := judge(flat(20000, 8000), flat(40000, 8000))
	more := judge(flat(20000, 8000), flat(40000, 20000))
	if less.Parts.Output != plain.Parts.Output || less.OutputWhy == "" {
		t.Errorf("smaller share: output %.4f (%s), want %.4f as without a measured beam", less.Parts.Output, less.OutputWhy, plain.Parts.Output)
	}
	// 20,000/40,000 against 8,000/20,000 is 1.25. A light 1.25 times as strong with a
	// beam of the same share is the same light on the road.
	c := practiceCatalog(13.2)
	c.Rigs[0].Stock = &data.PatternRecord{Method: "grid", Parts: &data.Parts{}, Candela: flat(20000, 8000)}
	test := &c.Bulbs[0].Lots[0].Tests[0]
	test.Pattern.Candela = flat(40000, 16000)
	for i := range test.Readings {
		test.Readings[i].Lux *= 1.25
	}
	brighter := decide(t, &k, &c, projector(func(n *recommend.Need) { n.Driving = []string{"rural"} })).Ranked[0]
	if math.Abs(more.Parts.Output-brighter.Parts.Output) > 1e-9 || more.OutputWhy == "" {
		t.Errorf("larger share: output %.6f (%q), want %.6f and the reason", more.Parts.Output, more.OutputWhy, brighter.Parts.Output)
	}
	if !(same.Parts.Output > less.Parts.Output && more.Parts.Output > same.Parts.Output) {
		t.Errorf("output %.4f, %.4f, %.4f: want it to rise with the share", less.Parts.Output, same.Parts.Output, more.Parts.Output)
	}
	if more.Parts.Output <= plain.Parts.Output {
		t.Errorf("output %.4f with the measured beam, %.4f without", more.Parts.Output, plain.Parts.Output)
	}
}

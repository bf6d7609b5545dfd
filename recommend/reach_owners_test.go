package recommend_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"stillbright/data"
	"stillbright/data/known/knowntest"
	"stillbright/recommend"
)

// litDemo is the demo with beams measured direction by direction: in some rigs of
// the stock halogen, and of some bulbs in them. It returns which.
func litDemo(t *testing.T) (c data.Catalog, own, stock map[string]*data.PatternRecord) {
	t.Helper()
	c = knowntest.Demo()
	darken(&c)
	own, stock = map[string]*data.PatternRecord{}, map[string]*data.PatternRecord{}
	for i, rig := range c.Rigs {
		if rig.Stock == nil || i%3 == 2 {
			continue
		}
		record := *rig.Stock
		record.Candela, record.CutoffV = measuredLamp(t).Candela, ptr(0.0)
		c.Rigs[i].Stock, stock[rig.ID] = &record, &record
		if i%2 == 0 {
			c.Rigs[i].Distance = ptr(25.0) // far enough for true candela
		}
	}
	for i, bulb := range c.Bulbs {
		if i%2 == 1 {
			continue
		}
		for j, lot := range bulb.Lots {
			for n, test := range lot.Tests {
				if test.Pattern == nil || stock[test.Rig] == nil {
					continue
				}
				record := *test.Pattern
				for _, p := range measuredLamp(t).Candela {
					p.CD *= 1.3 + 0.02*float64(i)
					record.Candela = append(record.Candela, p)
				}
				if i%4 == 0 {
					record.CutoffV = ptr(-0.4)
				}
				c.Bulbs[i].Lots[j].Tests[n].Pattern = &record
				rig, _ := c.Rig(test.Rig)
				own[bulb.ID+" "+test.Rig+" "+beamOf(rig, test)] = &record
			}
		}
	}
	return c, own, stock
}

// darken takes the intensities out of a catalog.
func darken(c *data.Catalog) {
	without := func(record *data.PatternRecord) *data.PatternRecord {
		if record == nil {
			return nil
		}
		copied := *record
		copied.Candela = nil
		return &copied
	}
	for i := range c.Rigs {
		c.Rigs[i].Stock = without(c.Rigs[i].Stock)
	}
	for i := range c.Bulbs {
		for j := range c.Bulbs[i].Lots {
			for n := range c.Bulbs[i].Lots[j].Tests {
				c.Bulbs[i].Lots[j].Tests[n].Pattern = without(c.Bulbs[i].Lots[j].Tests[n].Pattern)
			}
		}
	}
}

func beamOf(rig data.Rig, test data.Test) string {
	if test.Beam != "" {
		return test.Beam
	}
	return rig.Beam
}

// ownerCases are 32 owners: lamps, places, speeds, units, known and unknown
// geometry.
func ownerCases(t *testing.T, demo *data.Catalog) []recommend.Need {
	t.Helper()
	k := knowntest.Knowledge()
	var needs []recommend.Need
	for _, car := range demo.Cars {
		for _, lamp := range car.Lamps {
			if lamp.Technology == "led_module" || lamp.Technology == "discharge" {
				continue
			}
			need, err := recommend.NeedOfCar(&k, car, lamp.Size, lamp.Beam)
			if err != nil {
				continue
			}
			need.SpeedKmh = ptr(40 + 7*float64(len(needs)))
			needs = append(needs, need)
		}
	}
	places := []recommend.Word{"", "GB", "US-VA", "DE", "AU-NSW", "JP", "US"}
	for i := 0; len(needs) < 32; i++ {
		need := recommend.Need{Size: []string{"H11", "H7", "HB3", "H8", "H4"}[i%5], Where: places[i%len(places)]}
		need.Housing = []recommend.Word{"projector", "reflector", ""}[i%3]
		if i%4 > 0 {
			need.SpeedKmh = ptr([]float64{0, 50, 88.5, 130}[i%4])
			need.Imperial = i%4 == 2
		}
		lamp := data.Lamp{Size: need.Size}
		switch i % 4 {
		case 0:
			lamp.Height, lamp.Dip = ptr(700.0), ptr(1.2)
		case 1:
			lamp.Height, lamp.Marking, lamp.Focal = ptr(900.0), "VOL", ptr(30.0)
		case 2:
			lamp.Marking = "VOR"
		}
		need.Lamp = &lamp
		needs = append(needs, need)
	}
	return needs
}

// For 32 owners, every sentence on reach, stopping and glare of every bulb is one
// of the known forms, its numbers come out of the formulas again, and it promises
// nothing.
func TestRoadSentencesAreTrue(t *testing.T) {
	k := knowntest.Knowledge()
	demo, own, stock := litDemo(t)
	owners := ownerCases(t, &demo)
	if len(owners) < 30 {
		t.Fatalf("%d owners", len(owners))
	}
	said, withMetres, withEye := 0, 0, 0
	rigs := map[string]string{}
	for _, rig := range demo.Rigs {
		rigs[rig.ID] = rig.Beam
	}
	for i, need := range owners {
		pick, err := recommend.Decide(&k, &demo, need, recommend.Options{Today: "2026-11-25", Seed: 1})
		if err != nil {
			t.Errorf("owner %d: %v", i, err)
			continue
		}
		name := fmt.Sprintf("owner %d (%s %s %s)", i, pick.Need.Size, pick.Need.Beam, pick.Need.Where)
		for _, ranked := range append(pick.Ranked, pick.MeasureFirst...) {
			said += checkSentences(t, name, contextOf(pick.Need, ranked, own, stock, rigs))
			if len(ranked.Reach.Lines) > 0 {
				withMetres++
			}
			if len(ranked.Reach.Eye) > 0 {
				withEye++
			}
		}
	}
	t.Logf("%d sentences, %d bulbs with metres, %d with glare at an eye", said, withMetres, withEye)
	if said < 500 || withMetres < 20 || withEye < 20 {
		t.Errorf("too little was looked at: %d sentences, %d with metres, %d with an eye", said, withMetres, withEye)
	}
}

// contextOf is the owner's lamp worked out here from the facts of the need, and
// the beams on record in the rig that the document names.
func contextOf(need recommend.Need, r recommend.Ranked, own, stock map[string]*data.PatternRecord, rigs map[string]string) *roadCase {
	c := &roadCase{need: need, ranked: r, beam: r.Reach.Beam, heightM: 0.65, dipDeg: math.Atan(0.01) * 180 / math.Pi, spacingM: 1.2, lamps: 2, kerb: 1}
	country, _, _ := strings.Cut(string(need.Where), "-")
	c.imperial = need.Imperial || country == "US"
	if need.Cycle {
		c.lamps, c.spacingM = 1, 0
	}
	if slices.Contains([]string{"GB", "AU", "JP"}, country) { // left-hand traffic
		c.kerb = -1
	}
	if lamp := need.Lamp; lamp != nil {
		if lamp.Height != nil {
			c.heightM = *lamp.Height / 1000
		}
		switch {
		case lamp.Dip != nil:
			c.dipDeg = math.Atan(*lamp.Dip/100) * 180 / math.Pi
		case lamp.Marking == "VOL":
			c.dipDeg = 0.4
		case lamp.Marking == "VOR":
			c.dipDeg = 0
		}
	}
	if c.beam == data.BeamHigh {
		c.dipDeg = 0
	}
	if c.beam == data.BeamFog {
		return c
	}
	rig := string(r.Reach.Rig)
	c.own = own[r.Bulb+" "+rig+" "+c.beam]
	if beam := rigs[rig]; beam == c.beam || beam == data.BeamBoth && c.beam == data.BeamLow {
		c.stock = stock[rig]
	}
	if c.own == nil && r.Kind == data.KindHalogen {
		c.own, c.stock = c.stock, nil
	}
	return c
}

package recommend_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"stillbright/data"
	"stillbright/data/known/knowntest"
	"stillbright/recommend"
)

func compare(t *testing.T, k *recommend.Knowledge, c *data.Catalog, n recommend.Need, ids ...string) recommend.CompareSheet {
	t.Helper()
	sheet, err := recommend.Compare(k, c, bulbsOf(t, c, ids), n, recommend.Options{Today: "2026-11-25", Seed: 1})
	if err != nil {
		t.Fatalf("Compare %v: %v", ids, err)
	}
	return sheet
}

func bulbsOf(t *testing.T, c *data.Catalog, ids []string) []data.Bulb {
	t.Helper()
	var list []data.Bulb
	for _, id := range ids {
		bulb, ok := c.Bulb(id)
		if !ok {
			t.Fatalf("no bulb %q", id)
		}
		list = append(list, bulb)
	}
	return list
}

// asJSON is a value as a script sees it.
func asJSON(t *testing.T, value any) map[string]json.RawMessage {
	t.Helper()
	text, err := json.Marshal(value)
	if err != nil {
		t.Fatal(err)
	}
	var keys map[string]json.RawMessage
	if err := json.Unmarshal(text, &keys); err != nil {
		t.Fatal(err)
	}
	return keys
}

// TestCompareFiguresArePicks: every key that pick has for a bulb stands in
// compare with the same value, for every bulb of the size.
func TestCompareFiguresArePicks(t *testing.T) {
	k := knowntest.Knowledge()
	for seed := range uint64(6) {
		r := rand.New(rand.NewPCG(seed, 21))
		c, n := generated(seed, 18), need(r)
		n.Beam = "low"
		pick := decide(t, &k, &c, n)
		seen := 0
		for chunk := range slices.Chunk(c.Bulbs, 6) {
			var ids []string
			for _, b := range chunk {
				ids = append(ids, b.ID)
			}
			sheet := compare(t, &k, &c, n, ids...)
			for _, b := range sheet.Bulbs {
				want, list := inPick(&pick, b.Bulb)
				if list != b.Standing {
					t.Fatalf("seed %d: %s stands under %s, in pick under %s", seed, b.Bulb, b.Standing, list)
				}
				got := asJSON(t, b)
				for key, value := range want(t) {
					if !bytes.Equal(got[key], value) {
						t.Errorf("seed %d: %s of %s is %s, in pick %s", seed, key, b.Bulb, got[key], value)
					}
					seen++
				}
			}
			if a, b := asJSON(t, sheet), asJSON(t, pick); !bytes.Equal(a["stock"], b["stock"]) || !bytes.Equal(a["need"], b["need"]) || !bytes.Equal(a["law"], b["law"]) {
				t.Errorf("seed %d: stock, need or law differ from pick's", seed)
			}
		}
		if seen == 0 {
			t.Fatal("nothing was compared")
		}
	}
}

// inPick finds a bulb in the document of pick, as JSON, and names its list.
func inPick(pick *recommend.Pick, id string) (as func(*testing.T) map[string]json.RawMessage, list string) {
	for i, r := range pick.Ranked {
		if r.Bulb == id {
			return func(t *testing.T) map[string]json.RawMessage { return asJSON(t, pick.Ranked[i]) }, recommend.StandingRanked
		}
	}
	for i, r := range pick.MeasureFirst {
		if r.Bulb == id {
			return func(t *testing.T) map[string]json.RawMessage { return asJSON(t, pick.MeasureFirst[i]) }, recommend.StandingMeasure
		}
	}
	for i, s := range pick.SetAside {
		if s.Bulb == id {
			return func(t *testing.T) map[string]json.RawMessage { return asJSON(t, pick.SetAside[i]) }, recommend.StandingAside
		}
	}
	return nil, ""
}

// TestCompareOrderPermutesColumns: another order of the bulbs gives the same
// columns in that order, and the same pairs turned round.
func TestCompareOrderPermutesColumns(t *testing.T) {
	k := knowntest.Knowledge()
	for seed := range uint64(6) {
		r := rand.New(rand.NewPCG(seed, 22))
		c, n := generated(seed, 20), need(r)
		ids := []string{"bulb-001", "bulb-004", "bulb-006", "bulb-010", "bulb-015", "bulb-019"}
		want := compare(t, &k, &c, n, ids...)
		turned := slices.Clone(ids)
		r.Shuffle(len(turned), func(i, j int) { turned[i], turned[j] = turned[j], turned[i] })
		got := compare(t, &k, &c, n, turned...)
		for i, id := range turned {
			a, b := got.Bulbs[i], want.Bulbs[slices.Index(ids, id)]
			if text(t, a) != text(t, b) {
				t.Fatalf("seed %d: the column of %s changed with the order", seed, id)
			}
		}
		chances := map[[2]string]recommend.Pair{}
		for _, p := range want.Pairs {
			chances[[2]string{p.A, p.B}] = p
		}
		for _, p := range got.Pairs {
			other, straight := chances[[2]string{p.A, p.B}]
			if !straight {
				other = chances[[2]string{p.B, p.A}]
			}
			for _, aspect := range []string{recommend.AspectOverall, recommend.AspectLight, recommend.AspectPattern, recommend.AspectHeat} {
				x, y := p.Chance(aspect), other.Chance(aspect)
				if (x == nil) != (y == nil) {
					t.Fatalf("seed %d: %s of %s and %s is known in one order only", seed, aspect, p.A, p.B)
				}
				if x == nil {
					continue
				}
				sum := *x - *y
				if !straight {
					sum = *x + *y - 1
				}
				if math.Abs(sum) > 1e-12 {
					t.Errorf("seed %d: %s of %s over %s is %g and %g", seed, aspect, p.A, p.B, *x, *y)
				}
			}
			if !slices.Equal(p.Same, other.Same) {
				t.Errorf("seed %d: %s and %s are the same in %v and in %v", seed, p.A, p.B, p.Same, other.Same)
			}
		}
	}
}

// TestComparePairsAgreeWithTies: what pick calls a tie, compare calls the same
// within the noise overall, and the other way round.
func TestComparePairsAgreeWithTies(t *testing.T) {
	k := knowntest.Knowledge()
	ties := 0
	for seed := range uint64(10) {
		r := rand.New(rand.NewPCG(seed, 23))
		c, n := generated(seed, 14), need(r)
		pick := decide(t, &k, &c, n)
		var ids []string
		for _, b := range pick.Ranked[:min(len(pick.Ranked), 6)] {
			ids = append(ids, b.Bulb)
		}
		if len(ids) < 2 {
			continue
		}
		sheet := compare(t, &k, &c, n, ids...)
		for _, p := range sheet.Pairs {
			tie := false
			for _, b := range sheet.Bulbs {
				tie = tie || b.Bulb == p.A && slices.Contains(b.TieWith, p.B)
			}
			if same := slices.Contains(p.Same, recommend.AspectOverall); same != tie {
				t.Errorf("seed %d: %s and %s: same %v, tie in pick %v", seed, p.A, p.B, same, tie)
			}
			if tie {
				ties++
			}
		}
	}
	if ties == 0 {
		t.Error("no tie was seen")
	}
}

// TestCompareNoise: a bulb with five times the other's light and small errors is
// surely the brighter; two that differ only in name are a tie in everything.
func TestCompareNoise(t *testing.T) {
	k := knowntest.Knowledge()
	c := generated(3, 4)
	twin := c.Bulbs[0]
	twin.ID, twin.Name, twin.Model = "twin", "Twin", "twin"
	c.Bulbs = append(c.Bulbs, twin)
	n := recommend.Need{Size: "H11", Housing: "projector", TripMin: 30}
	sheet := compare(t, &k, &c, n, c.Bulbs[0].ID, "twin")
	if same := sheet.Pairs[0].Same; !slices.Contains(same, recommend.AspectLight) || !slices.Contains(same, recommend.AspectPattern) || !slices.Contains(same, recommend.AspectHeat) {
		t.Errorf("two equal bulbs are the same only in %v", same)
	}
	strong := twin
	strong.ID, strong.Lots = "strong", slices.Clone(twin.Lots)
	lot := strong.Lots[0]
	lot.Tests = slices.Clone(lot.Tests)
	for i := range lot.Tests {
		lot.Tests[i].Readings = slices.Clone(lot.Tests[i].Readings)
		for j := range lot.Tests[i].Readings {
			lot.Tests[i].Readings[j].Lux *= 5
		}
	}
	strong.Lots[0] = lot
	c.Bulbs = append(c.Bulbs, strong)
	sheet = compare(t, &k, &c, n, "strong", "twin")
	if p := sheet.Pairs[0].Light; p == nil || *p < 0.999 {
		t.Errorf("five times the light is the brighter with probability %v", p)
	}
}

func TestCompareRefuses(t *testing.T) {
	k, c := knowntest.Knowledge(), knowntest.Demo()
	for name, try := range map[string]struct {
		ids  []string
		need recommend.Need
	}{
		"one":            {[]string{"ostermoor-s22-h11"}, recommend.Need{}},
		"twice":          {[]string{"ostermoor-s22-h11", "ostermoor-s22-h11"}, recommend.Need{}},
		"two sizes":      {[]string{"ostermoor-s22-h11", "ostermoor-s22-h7"}, recommend.Need{}},
		"not the need's": {[]string{"ostermoor-s22-h11", "ostermoor-flex-h11"}, recommend.Need{Size: "H7"}},
		"bad beam":       {[]string{"ostermoor-s22-h11", "ostermoor-flex-h11"}, recommend.Need{Beam: "drl"}},
	} {
		_, err := recommend.Compare(&k, &c, bulbsOf(t, &c, try.ids), try.need, recommend.Options{})
		var refused *recommend.NeedError
		if !errors.As(err, &refused) {
			t.Errorf("%s: %v, want a NeedError", name, err)
		}
	}
}

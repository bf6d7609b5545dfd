package invented_test

import (
	"reflect"
	"testing"

	"stillbright/data/invented"
	"stillbright/data/known"
	"stillbright/recommend"
)

// The catalog is legal, the same every time, and the bulb that is made to lead
// does lead.
func TestCatalog(t *testing.T) {
	c := invented.Catalog(100)
	if !reflect.DeepEqual(c, invented.Catalog(100)) {
		t.Error("two catalogs of one length differ")
	}
	tests := len(invented.Table(&c)) - 1
	if tests != 100*invented.TestsEach {
		t.Errorf("%d tests", tests)
	}
	if faults := c.Validate(known.Sizes(), known.Places()); len(faults) > 0 {
		t.Fatal(faults)
	}
	k := recommend.Knowledge{Sizes: known.Sizes(), Places: known.Places(), Rules: known.Rules(), Fit: known.Fit(), Pattern: known.Pattern()}
	pick, err := recommend.Decide(&k, &c, recommend.Need{Size: invented.AskedSize, Housing: invented.AskedHousing, TripMin: invented.AskedTripMin}, recommend.Options{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	best := c.Bulbs[invented.Best(100)].ID
	if string(pick.Answer.Bulb) != best || len(pick.Ranked) < 5 || len(pick.SetAside) == 0 {
		t.Errorf("picked %q of %d, want %s; set aside %d", pick.Answer.Bulb, len(pick.Ranked), best, len(pick.SetAside))
	}
}

package answer

import (
	"testing"

	"stillbright/recommend/question"
	"stillbright/recommend/reply"
)

func TestUnderstoodSaysEverySlotThatWasRead(t *testing.T) {
	yes, km, mm, min, k := true, 96.56064, 57.15, 25.0, 4300.0
	r := reply.Reply{Asks: []string{"pick", "law"}}
	if got := Understood(&r); got != "Understood: nothing about your lamps or your driving." {
		t.Error(got)
	}
	r.Understood = question.Understood{
		Lamps:   []question.Lamp{{Size: "H11", Beam: "low", Housing: "projector"}, {Housing: "reflector"}, {Size: "HB3"}},
		Driving: []string{"rural", "rain"}, Budget: &question.Budget{Amount: 80, Currency: "USD", Per: "pair"},
		TripMin: &min, SpeedKmh: &km, RearClearanceMM: &mm, Canbus: &yes, Driver: "inline", PlugAndPlay: &yes, CCTK: &k, Climate: "hot", Where: "US-KS",
	}
	r.Law = []reply.ReplyLaw{{Name: "Kansas"}}
	want := "Understood: H11 low beam, projector, reflector, HB3, country roads, rain, at most 80 USD a pair, 25 min one way, 96.6 km/h, 57.1 mm behind the lamp, " +
		"bulb check, inline driver, no cutting, no extra parts, 4300 K, hot climate, Kansas."
	if got := Understood(&r); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	if got := UnderstoodAsks(&r); got != "Asked: pick, law." {
		t.Error(got)
	}
}

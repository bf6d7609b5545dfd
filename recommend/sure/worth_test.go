package sure

import (
	"fmt"
	"math"
	"testing"
)

func TestWorth(t *testing.T) {
	both := []Ranked{{"amber", 80}, {"birch", 79}}
	questions := []Question{
		{"road", []Answer{{1, both}, {1, []Ranked{{"birch", 80}, {"amber", 79}}}}},
		{"clearance", []Answer{{3, both}, {1, []Ranked{{"birch", 79}}}}},
		{"climate", []Answer{{1, both}, {1, both}}},
		{"driver", []Answer{{9, both}, {1, nil}}},
		{"nothing known", nil},
	}
	got, err := Worth("amber", questions)
	if err != nil {
		t.Fatal(err)
	}
	want := []Value{
		{"clearance", 0.25, 79. / 4}, // a pick that does not fit is worth nothing
		{"road", 0.5, 0.5},           // half the time, by one point
		{"driver", 0.1, 0},           // nothing suits: a change, nothing gained
		{"climate", 0, 0},
		{"nothing known", 0, 0},
	}
	for i, w := range want {
		if g := got[i]; g.Slot != w.Slot || !near(g.Changes, w.Changes, 1e-12) || !near(g.Gain, w.Gain, 1e-12) {
			t.Errorf("place %d: %+v, want %+v", i+1, g, w)
		}
	}
	// Chances are relative: a common factor changes nothing.
	for i := range questions {
		for k := range questions[i].Answers {
			questions[i].Answers[k].Chance *= 7
		}
	}
	again, err := Worth("amber", questions)
	if err != nil {
		t.Fatal(err)
	}
	for i := range got {
		if !near(got[i].Gain, again[i].Gain, 1e-12) || got[i].Slot != again[i].Slot {
			t.Errorf("%+v became %+v", got[i], again[i])
		}
	}
	for _, bad := range []Answer{{-1, both}, {math.NaN(), both}, {1, []Ranked{{"amber", math.Inf(1)}}}} {
		if _, err := Worth("amber", []Question{{"x", []Answer{bad}}}); err == nil {
			t.Errorf("%+v was accepted", bad)
		}
	}
}

// Which of two things not known of an owner is worth asking?
func ExampleWorth() {
	values, _ := Worth("amber", []Question{
		{Slot: "rear clearance", Answers: []Answer{
			{Chance: 0.8, Ranking: []Ranked{{"amber", 74}, {"birch", 70}}},
			{Chance: 0.2, Ranking: []Ranked{{"birch", 70}}}, // the longer bulb does not go in
		}},
		{Slot: "climate", Answers: []Answer{
			{Chance: 0.5, Ranking: []Ranked{{"amber", 74}, {"birch", 70}}},
			{Chance: 0.5, Ranking: []Ranked{{"birch", 68}, {"amber", 66}}},
		}},
	})
	for _, v := range values {
		fmt.Printf("%s: %.0f points\n", v.Slot, v.Gain)
	}
	// Output:
	// rear clearance: 14 points
	// climate: 1 points
}

// A bulb that is a compromise is first for one sixth of all priorities.
func ExampleShares() {
	shares, _ := Shares([][3]float64{{1, 0, 0}, {0, 1, 0}, {0.4, 0.4, 0.2}}, Region{})
	for _, s := range shares {
		fmt.Printf("%.4f\n", s.First)
	}
	// Output:
	// 0.4167
	// 0.4167
	// 0.1667
}

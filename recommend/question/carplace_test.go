package question

import (
	"testing"

	"stillbright/data/known"
)

// TestPlaceThatNamesACar: cars are named after places, and a model year or an
// owner beside the word says that it is one of those. The words here are places.
func TestPlaceThatNamesACar(t *testing.T) {
	reader := New(known.Words(), nil)
	for text, want := range map[string]Name{
		"2015 seattle H7 lows, which led":             "",
		"seattle 2015 H11 low beam led":               "",
		"my seattle H7 low beam is dim":               "",
		"which 9005 for my seattle?":                  "",
		"2015 wagon in seattle, H7 lows":              "US-WA",
		"in seattle 2015 wagon, H7":                   "US-WA",
		"seattle H7 lows":                             "",
		"which led for a spokane, spokane H7 lows":    "",
		"los angeles 9005 high beam":                  "",
		"arizona H7 lows":                             "US-AZ",
		"nevada 9012 projector":                       "US-NV",
		"legal? seattle H7 lows":                      "US-WA",
		"around spokane H7 lows":                      "US-WA",
		"seattle, H7 lows, which led":                 "US-WA",
		"I live in seattle and drive a 2015 wagon H7": "US-WA",
	} {
		if got := reader.Read(text).Where; got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

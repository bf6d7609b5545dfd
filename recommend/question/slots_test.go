package question

import (
	"math"
	"strings"
	"testing"
)

// TestSizesWithTypos reads every way of writing a size that owners use. Canonical names: facts/light-sources 1a.
func TestSizesWithTypos(t *testing.T) {
	r := newReader(t)
	for text, want := range map[string]string{
		"9OO5": "HB3", "9oo6": "HB4", "h-11": "H11", "HB 3": "HB3", "hb-4": "HB4", "h7s": "H7", "9005s": "HB3", "H 7": "H7", "h1l": "H11",
		"2xH7": "H7", "h7led": "H7", "9005xs": "HB3", "HB3A": "HB3", "H11B": "H11", "9003": "H4", "hb2": "H4", "9004": "HB1", "9007": "HB5",
		"9008": "H13", "9011": "HIR1", "9012": "HIR2", "hir 2": "HIR2", "9145": "H10", "5202": "PS24W", "2504": "PSX24W", "PSX24W": "PSX24W",
		"d2s": "D2S", "D-1S": "D1S", "(H4)": "H4", "h4,": "H4", "Н7": "H7",
	} {
		u := r.Read("which led for " + text + " please")
		if len(u.Lamps) != 1 || string(u.Lamps[0].Size) != want {
			t.Errorf("%q: lamps %+v, want %s", text, u.Lamps, want)
		}
	}
	for _, text := range []string{
		"9005 lumens", "9012 km", "$9005", "H7W", "9005k", "1h15", "1 h 15 min", "the H1 freeway", "19005", "9005.5", "M7", "hi", "h7x9z", "H20",
	} {
		if u := r.Read("led headlight bulb, " + text); len(u.Lamps) != 0 {
			t.Errorf("%q was read as a size: %+v", text, u.Lamps)
		}
	}
}

func TestSeveralLamps(t *testing.T) {
	r := newReader(t)
	low, high, fog, both := Name("low"), Name("high"), Name("fog"), Name("both")
	proj, ref := Name("projector"), Name("reflector")
	for text, want := range map[string][]Lamp{
		"low H11 high 9005":                {{"H11", low, ""}, {"HB3", high, ""}},
		"9006 low 9005 high":               {{"HB4", low, ""}, {"HB3", high, ""}},
		"h4 hi/lo":                         {{"H4", both, ""}},
		"9005/9006 led":                    {{"HB3", "", ""}, {"HB4", "", ""}},
		"9005/6 led":                       {{"HB3", "", ""}, {"HB4", "", ""}},
		"H8/9/11 led":                      {{"H8", "", ""}, {"H9", "", ""}, {"H11", "", ""}},
		"9006/9005 low/high":               {{"HB4", low, ""}, {"HB3", high, ""}},
		"H7 for low, H7 for high, H11 fog": {{"H7", low, ""}, {"H7", high, ""}, {"H11", fog, ""}},
		"9003 (H4) led":                    {{"H4", "", ""}},
		"H11 low projector and 9005 high reflector": {{"H11", low, proj}, {"HB3", high, ref}},
		"H11 low projector, 9005 high":              {{"H11", low, proj}, {"HB3", high, ""}},
		"H7 dip, H1 main, both reflectors":          {{"H7", low, ref}, {"H1", high, ref}},
		"H7, not H4, low beam":                      {{"H7", low, ""}},
		"H7 both low and high beam":                 {{"H7", low, ""}, {"H7", high, ""}},
		"dip is projector, main is reflector, H7":   {{"H7", low, proj}, {"H7", high, ref}},
		"fog light led, which":                      {{"", fog, ""}},
		"projector or reflector for led?":           nil,
		"people flash their high beams at me, H7":   {{"H7", "", ""}},
	} {
		got := r.Read(text).Lamps
		if len(got) != len(want) {
			t.Errorf("%q: %+v, want %+v", text, got, want)
			continue
		}
		for i := range want {
			if got[i] != want[i] {
				t.Errorf("%q: %+v, want %+v", text, got, want)
				break
			}
		}
	}
}

func TestNumbers(t *testing.T) {
	r := newReader(t)
	value := func(p *float64) float64 {
		if p == nil {
			return math.NaN()
		}
		return *p
	}
	for text, want := range map[string]float64{ // mm; an inch is 25.4 mm
		"inch and a half behind the H7": 38.1, "2 3/4\" behind the H7": 69.85, "2-3/4 in behind H7": 69.85, "2¾ inch behind H7": 69.85,
		"two and a quarter inches behind H7": 57.15, "half an inch behind H7": 12.7, "three quarters of an inch behind H7": 19.05,
		"5,5 cm behind H7": 55, "52mm behind H7": 52, "six centimetres behind H7": 60, "sixty mil behind H7": 60, "50-55 mm behind H7": 50,
		"1 7/8 in. behind H7": 47.625,
	} {
		if got := value(r.Read(text).RearClearanceMM); math.Abs(got-want) > 1e-9 {
			t.Errorf("%q: %v mm, want %v", text, got, want)
		}
	}
	for text, want := range map[string]float64{ // minutes, one way
		"H7, 1h20 each way": 80, "H7, half an hour drive": 30, "H7, an hour and a half each way": 90, "H7, two hours there and back": 60,
		"H7, 20 min of lanes then 35 min of motorway": 55, "H7, 40 min there and 40 min back": 40, "H7, 90 min round trip": 45, "H7, hour each way": 60,
		"H7, 30-40 min commute": 40, "H7, an hour and ten each way": 70, "H7, quarter of an hour drive": 15, "H7, 1-2 hours drive": 120,
	} {
		if got := value(r.Read(text).TripMin); got != want {
			t.Errorf("%q: %v min, want %v", text, got, want)
		}
	}
	for text, want := range map[string]float64{ // km/h; a mile is 1.609344 km
		"H7, 70mph": 112.65408, "H7, 55-65 mph": 104.60736, "H7, 110 km/h": 110, "H7, 100 kph": 100, "H7, 60 miles an hour": 96.56064,
	} {
		if got := value(r.Read(text).SpeedKmh); math.Abs(got-want) > 1e-9 {
			t.Errorf("%q: %v km/h, want %v", text, got, want)
		}
	}
}

func TestBudget(t *testing.T) {
	r := newReader(t)
	for text, want := range map[string]Budget{
		"thirty quid a bulb, H7":                  {30, "GBP", "each"},
		"a hundred and twenty dollars, H7":        {120, "USD", ""},
		"H7 under 100 all in":                     {100, "", ""},
		"H7, 60 to 80 euros the pair":             {80, "EUR", "pair"},
		"H7, $50-$70":                             {70, "USD", ""},
		"H7, one fifty bucks for all four":        {150, "USD", "all"},
		"H7, 1,500 rupees max":                    {1500, "INR", ""},
		"H7, a tenner each":                       {10, "GBP", "each"},
		"pair of H7 for under £40":                {40, "GBP", "pair"},
		"H7, 200$ canadian":                       {200, "CAD", ""},
		"I paid £20 before, now £60 tops, H7":     {60, "GBP", ""},
		"R800 for two H7":                         {800, "ZAR", "pair"},
		"H7, ideally 50 dollars, not above 80":    {80, "USD", ""},
		"H7, spend limit sixty dollars per pair.": {60, "USD", "pair"},
	} {
		got := r.Read(text).Budget
		if got == nil || *got != want {
			t.Errorf("%q: %+v, want %+v", text, got, want)
		}
	}
	for _, text := range []string{
		"are the $200 H7 better than the $40 ones", "£15 vs £60 H7", "fined 1000 euros for LED H7", "paid 40 bucks for H7", "H7 on the M62, 50 limit",
		"best dash cam under a hundred", "H7, 2016 model, max speed 110", "dealer wants $900 for a new headlamp, H7",
	} {
		if got := r.Read(text).Budget; got != nil {
			t.Errorf("%q: a budget of %+v", text, *got)
		}
	}
}

func TestPlacesAndClimate(t *testing.T) {
	r := newReader(t)
	for text, want := range map[string][2]string{
		"H7, MOT": {"GB", ""}, "H7, NCT": {"IE", ""}, "H7, TÜV": {"DE", ""}, "H7, ADR legal?": {"AU", ""}, "H7 in northern mn": {"US-MN", ""},
		"H7 in new south wales": {"AU-NSW", ""}, "H7, Scotland, MOT": {"GB", ""}, "H7 in Mexico": {"MX", ""}, "H7 in new mexico": {"US-NM", ""},
		"german law on H7": {"DE", ""}, "H7 made in Germany": {"", ""}, "german car, H7": {"", ""}, "H7, Alaska": {"US-AK", "cold"}, "H7, Dubai": {"AE", "hot"},
		"H7, -30 mornings here": {"", "cold"}, "H7, 45C in summer": {"", "hot"}, "H7, heatsink at 80 C": {"", ""}, "H7, 115F summers": {"", "hot"},
		"H7, mild climate": {"", "mild"}, "H7 runs hot": {"", ""}, "H7 in me": {"", ""}, "H7 or H4 in ok condition": {"", ""}, "H7, between Texas and Ohio": {"", ""},
		"does cold weather hurt H7 leds?": {"", ""}, "H7, rotated 45 degrees": {"", ""},
	} {
		u := r.Read(text)
		if string(u.Where) != want[0] || string(u.Climate) != want[1] {
			t.Errorf("%q: where %q climate %q, want %v", text, u.Where, u.Climate, want)
		}
	}
}

func TestOffTopicUnderstandsNothing(t *testing.T) {
	r := newReader(t)
	for _, text := range []string{"hi", "best dash cam under a hundred", "led strip for under the kitchen cabinets, warm white?", "turn signal hyperflash after led indicators"} {
		u := r.Read(text)
		if len(u.Asks) != 1 || u.Asks[0] != "other" || len(u.Spans) != 0 || u.Budget != nil || len(u.Lamps) != 0 {
			t.Errorf("%q: %+v", text, u)
		}
	}
}

func TestSpanGivesTheWordsAsWritten(t *testing.T) {
	r := newReader(t)
	text := "Évening! £45 EACH, H7 dipped in a ProJector"
	u := r.Read(text)
	if s := u.Spans["budget"]; len(s) != 1 || s[0].Text != "£45" {
		t.Errorf("budget from %+v", s)
	}
	if s := u.Spans["lamps[0]"]; len(s) != 1 || !strings.HasPrefix(s[0].Text, "H7 dipped") || !strings.HasSuffix(s[0].Text, "ProJector") {
		t.Errorf("lamp from %+v", s)
	}
}

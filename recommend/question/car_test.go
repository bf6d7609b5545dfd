package question

import "testing"

// The cars are invented.
var garage = []CarName{
	{ID: "tarn-2016", Name: "Tarn pickup 2016", Lamps: []string{"H11", "HB3"}},
	{ID: "corvane-300", Name: "Corvane 300", Lamps: []string{"H7"}},
	{ID: "corvane-500", Name: "Corvane 500", Lamps: []string{"H4"}},
	{ID: "norrvik-estate", Name: "Norrvik estate", Lamps: []string{"H7", "H15"}},
	{ID: "lyra", Name: "Lyra 500 twin", Lamps: []string{"H7"}},
	{ID: "lyra-b", Name: "Lyra 300 single", Lamps: []string{"H4"}},
}

func TestCarOfTheGarage(t *testing.T) {
	r := New(loadWords(t), garage)
	for text, want := range map[string]string{
		"H11 low beam for my Tarn pickup":          "tarn-2016",
		"which H11 led for the TARN":               "tarn-2016",
		"led for my tarn-2016, H11":                "tarn-2016",
		"H7 on a Corvane 300 hatch":                "corvane-300",
		"H4 on a Corvane 500":                      "corvane-500",
		"H7 for a Norrvick estate":                 "norrvik-estate",
		"H7 for the norvik":                        "norrvik-estate",
		"H7 dipped, Lyra 500 twin":                 "lyra",
		"H4 for the Lyra":                          "lyra-b", // its lamps tell
		"led for a Corvane":                        "",       // two of them
		"H7 on a Corvane 400":                      "",       // another car
		"H11, Tarn pickup 2012":                    "",       // another year
		"H7 led please":                            "",
		"H7 for a Halden":                          "",
		"the H7 turn of the century twin headlamp": "",
	} {
		if got := r.Read(text).Car; string(got) != want {
			t.Errorf("%q: car %q, want %q", text, got, want)
		}
	}
}

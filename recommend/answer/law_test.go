package answer

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/data/known/knowntest"
	"stillbright/recommend"
	"stillbright/recommend/sheets"
)

func everythingKnown() *recommend.Knowledge {
	return &recommend.Knowledge{
		Sizes: known.Sizes(), Law: known.Law(), LawNotes: known.LawNotes(), Places: known.Places(), Rules: known.Rules(),
		Fit: known.Fit(), Pattern: known.Pattern(), Cautions: known.Cautions(), Claims: known.Claims(), Aim: known.Aim(),
	}
}

// lawPlaces are every place with a row, a region whose country has one, a country
// without any, a region that is not listed, and no place.
func lawPlaces() []recommend.Word {
	places := []recommend.Word{"", "US-OH", "PT", "DE-BY", "FR-75", "AQ"}
	for _, row := range known.Law() {
		if !slices.Contains(places, recommend.Word(row.Place)) {
			places = append(places, recommend.Word(row.Place))
		}
	}
	return places
}

// For every place in the law data, no place and an unknown region, and each kind
// of answer: the law is the second line, names its date and confidence, or that
// there is none, and the best halogen.
func TestLawIsTheSecondLine(t *testing.T) {
	k, demo := everythingKnown(), knowntest.Demo()
	for _, where := range lawPlaces() {
		for _, need := range []recommend.Need{
			{Size: "H11", Housing: "projector", Where: where},                             // an LED leads
			{Size: "H11", Housing: "reflector", Where: where},                             // the halogens stay
			{Size: "H8", Beam: data.BeamFog, Where: where},                                // fog
			{Size: "HB3", Beam: data.BeamHigh, Where: where},                              // high
			{Size: "HB1", Where: where, Driving: []string{"offroad", "highway"}},          // off the road too
			{Size: "H7", Housing: "reflector", Where: where, Volts: ptr(11.9)},            // mend first
			{Size: "H4", Where: where, Budget: &recommend.Budget{Amount: 1, Per: "pair"}}, // nothing affordable
		} {
			pick, err := recommend.Decide(k, &demo, need, recommend.Options{Today: "2026-11-25", Seed: 1})
			if err != nil {
				t.Fatalf("%s %s: %v", where, need.Size, err)
			}
			lines := strings.Split(Pick(&pick, PickOptions{Width: 80}).Terminal(80, false), "\n")
			second := lines[1]
			for i := 2; i < len(lines) && strings.HasPrefix(lines[i], "  "); i++ {
				second += " " + strings.TrimSpace(lines[i])
			}
			law := pick.Law
			date := "undated"
			if law.AsOf != "" {
				date = "as of " + string(law.AsOf)
			}
			sure := "no rule on file"
			if law.Confidence != "" {
				sure = string(law.Confidence) + " confidence"
			}
			wanted := []string{"Law (" + string(where) + ", " + law.Beam + "): ", date, sure, lawVerdict(law, law.Verdict)}
			if where == "" { // nothing is known that could be dated, and one line says all
				wanted = []string{"Law: no place given, so assume an LED is not allowed on public roads (--where)."}
			}
			for _, want := range wanted {
				if !strings.Contains(second, want) {
					t.Errorf("%q %s: second line lacks %q: %s", where, need.Size, want, second)
				}
			}
			// What is forbidden is never advice on the first line.
			if d := pick.Answer; d.ByLight != "" && (strings.Contains(lines[0], "Best measured") || !strings.Contains(strings.Join(lines, "\n"), "By measurement alone: ")) {
				t.Errorf("%q %s: %s", where, need.Size, strings.Join(lines[:4], "\n"))
			}
			if named := string(pick.Answer.Bulb); named != string(pick.Answer.Halogen) && !strings.Contains(strings.Join(lines[:10], "\n"), "Best halogen") {
				t.Errorf("%q %s: no line for the best halogen in %q", where, need.Size, lines)
			}
			if law.Beam != lawBeamOf(pick.Need.Beam) {
				t.Errorf("%q %s %s: the law of a %s beam is shown", where, need.Size, pick.Need.Beam, law.Beam)
			}
		}
	}
}

func ptr[T any](value T) *T { return &value }

func lawBeamOf(beam string) string {
	if beam == data.BeamBoth {
		return data.BeamLow
	}
	return beam
}

// Driving off the road softens nothing: the law line is the same, word for word.
func TestOffroadSoftensNothing(t *testing.T) {
	k, demo := everythingKnown(), knowntest.Demo()
	for _, where := range lawPlaces() {
		law := func(driving ...string) recommend.LawLine {
			pick, err := recommend.Decide(k, &demo, recommend.Need{Size: "HB4", Where: where, Driving: driving}, recommend.Options{Today: "2026-11-25", Seed: 1})
			if err != nil {
				t.Fatal(err)
			}
			return pick.Law
		}
		if road, both, off := law("highway"), law("offroad", "highway"), law("offroad"); !reflect.DeepEqual(road, both) || !reflect.DeepEqual(road, off) {
			t.Errorf("%q: highway %+v, off-road too %+v, off-road alone %+v", where, road, both, off)
		}
	}
}

// A verdict at low confidence reads as unclear, and no verdict is carried to
// another beam.
func TestLawSheets(t *testing.T) {
	k := everythingKnown()
	for _, where := range lawPlaces()[1:] {
		sheet := sheets.LawSheetFor(k, string(where), "", "2026-11-25")
		listed := false
		for _, line := range sheet.Lines {
			row, ok := rowOf(k, string(where), line.Beam)
			switch {
			case !ok && line.Verdict != data.VerdictUnclear:
				t.Errorf("%s %s: %s without a row", where, line.Beam, line.Verdict)
			case ok && row.Confidence == "low" && line.Verdict != data.VerdictUnclear:
				t.Errorf("%s %s: %s at low confidence", where, line.Beam, line.Verdict)
			case ok && string(line.RowVerdict) != row.Verdict:
				t.Errorf("%s %s: row says %s, sheet %s", where, line.Beam, row.Verdict, line.RowVerdict)
			}
			listed = listed || ok && row.Verdict == data.VerdictListed
		}
		text := Law(sheet).Terminal(80, false)
		if listed != strings.Contains(text, "Whether an approval covers your vehicle") {
			t.Errorf("%s: approval asked for %v, procedure shown %v", where, listed, !listed)
		}
		for _, want := range []string{"This is not legal advice.", "Driving off the road softens nothing on it.", "Ask "} {
			if !strings.Contains(strings.Join(strings.Fields(text), " "), want) {
				t.Errorf("%s: %q is missing", where, want)
			}
		}
		for _, line := range strings.Split(text, "\n") {
			if columns(line) > 80 {
				t.Errorf("%s: %d columns: %s", where, columns(line), line)
			}
		}
	}
}

// rowOf is the row of a place, else of its country.
func rowOf(k *recommend.Knowledge, place, beam string) (data.LawRow, bool) {
	country, _, _ := strings.Cut(place, "-")
	if data.Law(k.Law, k.Places, nil, place, beam).From == data.LawCountry { // also where its own is the softer
		place = country
	}
	for _, code := range []string{place, country} {
		for _, row := range k.Law {
			if row.Place == code && row.Beam == beam {
				return row, true
			}
		}
	}
	return data.LawRow{}, false
}

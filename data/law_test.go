package data_test

import (
	"os"
	"slices"
	"strings"
	"testing"

	"stillbright/data"
)

func TestLawFallsBackToTheCountry(t *testing.T) {
	rows, notes := knownLaw(t)
	places := knownPlaces(t)
	// Minnesota has no row of its own.
	answer := data.Law(rows, places, notes, "US-MN", data.BeamLow)
	if answer.From != data.LawCountry || answer.Verdict != data.VerdictUnclear || answer.Place.Name != "Minnesota" || answer.AsOf != "2022-10-02" {
		t.Errorf("US-MN: %+v", answer)
	}
	if answer.Fallback != "no rule on file for Minnesota (US-MN); this is the rule of United States (US)" {
		t.Errorf("US-MN: fallback %q", answer.Fallback)
	}
	if answer.Authority != "your state motor vehicle agency" || answer.Drives != "right" {
		t.Errorf("US-MN: authority %q, drives %q", answer.Authority, answer.Drives)
	}
	if !slices.ContainsFunc(answer.Notes, func(n data.LawNote) bool { return n.Place == "US" && n.Topic == "motorcycle" }) {
		t.Errorf("US-MN: notes %v", answer.Notes)
	}
	// Scotland takes the row of Great Britain; so does Northern Ireland, whose own is known too weakly to soften it.
	if answer := data.Law(rows, places, notes, "GB-SCT", data.BeamLow); answer.From != data.LawCountry || answer.RowVerdict != data.VerdictInspection || answer.Drives != "left" {
		t.Errorf("GB-SCT: %+v", answer)
	}
	if answer := data.Law(rows, places, notes, "GB-NIR", data.BeamLow); answer.From != data.LawCountry || answer.Verdict != data.VerdictInspection ||
		answer.Fallback != "the rule on file for Northern Ireland (GB-NIR) is softer or weakly known; this is the rule of United Kingdom (GB)" {
		t.Errorf("GB-NIR: %+v", answer)
	}
}

func TestLawDefaultsToCaution(t *testing.T) {
	rows, notes := knownLaw(t)
	places := knownPlaces(t)
	for _, test := range []struct{ place, beam string }{{"PT", data.BeamLow}, {"", data.BeamLow}, {"ZZ", data.BeamLow}, {"DE", data.BeamBoth}, {"DE", ""}} {
		answer := data.Law(rows, places, notes, test.place, test.beam)
		if answer.From != data.LawNone || answer.Verdict != data.VerdictUnclear || answer.RowVerdict != "" || answer.Note != data.DefaultCaution ||
			answer.Confidence != "low" || answer.AsOf != "" || answer.Fallback != "" || answer.Authority == "" || answer.Notes == nil {
			t.Errorf("%q %q: %+v", test.place, test.beam, answer)
		}
	}
}

// A verdict for one beam is never carried to another: without the low-beam rows, no
// place has a verdict for low beam, whatever its other rows say.
func TestLawNeverCarriesABeam(t *testing.T) {
	rows, notes := knownLaw(t)
	places := knownPlaces(t)
	for _, beam := range []string{data.BeamLow, data.BeamHigh, data.BeamFog, data.BeamDRL} {
		others := slices.DeleteFunc(slices.Clone(rows), func(row data.LawRow) bool { return row.Beam == beam })
		for _, place := range places {
			if answer := data.Law(others, places, notes, place.Code, beam); answer.From != data.LawNone || answer.Verdict != data.VerdictUnclear {
				t.Fatalf("%s: %s was taken from another beam: %+v", place.Code, beam, answer)
			}
		}
	}
}

// Low confidence reads as unclear everywhere, and the row's own verdict stays visible.
func TestLowConfidenceReadsAsUnclear(t *testing.T) {
	rows, notes := knownLaw(t)
	places := knownPlaces(t)
	for _, row := range rows {
		answer := data.Law(rows, places, notes, row.Place, row.Beam)
		if answer.From == data.LawCountry {
			continue // TestARegionNeverSoftensItsCountry has these
		}
		if answer.RowVerdict != row.Verdict || (answer.Confidence == "low" && answer.Verdict != data.VerdictUnclear) ||
			(answer.Confidence != "low" && answer.Verdict != row.Verdict) {
			t.Errorf("%s %s: %+v", row.Place, row.Beam, answer)
		}
	}
}

func TestPlaces(t *testing.T) {
	places := knownPlaces(t)
	rows, _ := knownLaw(t)
	seen := map[string]bool{}
	regions := map[string]int{}
	for _, place := range places {
		if seen[place.Code] {
			t.Errorf("%s stands twice", place.Code)
		}
		seen[place.Code] = true
		found, _, ok := data.FindPlace(places, strings.ToLower(place.Code))
		if !ok || found.Code != place.Code {
			t.Errorf("%s: its own code leads to %q", place.Code, found.Code)
		}
		country, _, region := strings.Cut(place.Code, "-")
		if region != (place.Country != "") || (region && place.Country != country) {
			t.Errorf("%s: country %q", place.Code, place.Country)
		}
		regions[place.Country]++
	}
	// 249 codes of ISO 3166-1 and EU; 50 states and DC, 13 provinces and territories,
	// 8 states and territories, 4 nations.
	if regions[""] != 250 || regions["US"] != 51 || regions["CA"] != 13 || regions["AU"] != 8 || regions["GB"] != 4 {
		t.Errorf("counts %v", regions)
	}
	for _, row := range rows {
		if !seen[row.Place] {
			t.Errorf("%s has a row but is no place", row.Place)
		}
	}
}

// The two-letter codes are those of the time zone database, where it is installed.
func TestPlacesAgainstTheZoneTable(t *testing.T) {
	table, err := os.ReadFile("/usr/share/zoneinfo/iso3166.tab")
	if err != nil {
		t.Skip("no zone table on this machine")
	}
	places := knownPlaces(t)
	for _, line := range strings.Split(string(table), "\n") {
		code, _, found := strings.Cut(line, "\t")
		if !found || strings.HasPrefix(line, "#") {
			continue
		}
		if !slices.ContainsFunc(places, func(p data.Place) bool { return p.Code == code }) {
			t.Errorf("%s is missing", code)
		}
	}
}

// A name leads to one place; the one name that two places share is refused with both.
func TestFindPlace(t *testing.T) {
	places := knownPlaces(t)
	owners := map[string][]string{}
	for _, place := range places {
		for _, name := range append([]string{place.Name}, place.Aliases...) {
			found, near, ok := data.FindPlace(places, name)
			if name == "Georgia" {
				owners[name] = near
				continue
			}
			if !ok || found.Code != place.Code {
				t.Errorf("%s leads to %q, near %v; want %s", name, found.Code, near, place.Code)
			}
		}
	}
	if !slices.Equal(owners["Georgia"], []string{"GE", "US-GA"}) {
		t.Errorf("Georgia: %v", owners["Georgia"])
	}
	for text, want := range map[string]string{
		"uk": "GB", "England": "GB-ENG", "the netherlands": "NL", "USA": "US", "us va": "US-VA", "US_VA": "US-VA", "u.k.": "GB", "québec": "CA-QC", "QUEBEC": "CA-QC",
		"turkiye": "TR", "cote d'ivoire": "CI", "Northern Ireland": "GB-NIR", "new  south wales": "AU-NSW", "washington": "US-WA", "Curacao": "CW",
	} {
		if found, near, ok := data.FindPlace(places, text); !ok || found.Code != want {
			t.Errorf("FindPlace(%q) = %q, near %v; want %s", text, found.Code, near, want)
		}
	}
	for text, want := range map[string][]string{
		"Germny": {"Germany"}, "Virgnia": {"Virginia"}, "TX": {"US-TX"}, "nsw": {"AU-NSW"}, "Atlantis": {}, "": {}, "7": {}, "US-ZZ": {"US"}, "US-PR": {"PR", "US"}, "XX-YY": {}, "DE-B_": {"DE"}, "DE-BYRN": {"DE"}, "EU-DE": {"DE"},
	} {
		found, near, ok := data.FindPlace(places, text)
		if ok || near == nil || found.Code != "" || (len(want) == 0) != (len(near) == 0) || (len(want) > 0 && near[0] != want[0]) {
			t.Errorf("FindPlace(%q) = %q, near %v; want near %v", text, found.Code, near, want)
		}
	}
}

// A region of a country whose regions are not listed is a place; the rule of its
// country answers for it, and says so. A region that is not among listed ones is none.
func TestRegionThatIsNotListed(t *testing.T) {
	places := knownPlaces(t)
	for text, want := range map[string]string{"DE-BY": "DE-BY", "de-by": "DE-BY", " fr-75 ": "FR-75", "JP-13": "JP-13"} {
		if found, near, ok := data.FindPlace(places, text); !ok || found.Code != want || found.Country != want[:2] {
			t.Errorf("FindPlace(%q) = %+v, near %v", text, found, near)
		}
	}
	rows := []data.LawRow{{Place: "DE", Beam: data.BeamLow, Verdict: data.VerdictListed, Confidence: "high"}}
	answer := data.Law(rows, places, nil, "DE-BY", data.BeamLow)
	if answer.From != data.LawCountry || answer.Verdict != data.VerdictListed || answer.Drives != "right" || !strings.Contains(answer.Fallback, "DE-BY") {
		t.Errorf("%+v", answer)
	}
	if answer := data.Law(rows, places, nil, "FR-75", data.BeamLow); answer.From != data.LawNone || answer.Verdict != data.VerdictUnclear {
		t.Errorf("%+v", answer)
	}
}

func FuzzFindPlace(f *testing.F) {
	places := knownPlaces(f)
	for _, seed := range []string{"GB", "the UK", "Germny", "US-", "\xff", "ß"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		place, near, ok := data.FindPlace(places, text)
		if ok != (place.Code != "") || (ok && near != nil) || (!ok && near == nil) {
			t.Fatalf("%q: %+v, %v, %v", text, place, near, ok)
		}
	})
}

// Of every region with a row, and of made-up rows of every kind, what is shown leaves an
// owner no more than the country's rule does, and the region's own where it is the
// stricter.
func TestARegionNeverSoftensItsCountry(t *testing.T) {
	rows, notes := knownLaw(t)
	places := knownPlaces(t)
	order := []string{data.VerdictUnclear, data.VerdictListed, data.VerdictInspection, data.VerdictNotPermitted}
	strict := func(verdict string) int { return slices.Index(order, verdict) }
	check := func(rows []data.LawRow, region, country, beam string) {
		answer, above := data.Law(rows, places, notes, region, beam), data.Law(rows, places, notes, country, beam)
		if strict(answer.Verdict) < strict(above.Verdict) {
			t.Errorf("%s %s: %s, its country %s", region, beam, answer.Verdict, above.Verdict)
		}
		if (answer.From == data.LawCountry) != (answer.Fallback != "") {
			t.Errorf("%s %s: %+v", region, beam, answer)
		}
	}
	regions := 0
	for _, place := range places {
		for _, beam := range []string{data.BeamLow, data.BeamHigh, data.BeamFog, data.BeamDRL} {
			if place.Country != "" {
				regions++
				check(rows, place.Code, place.Country, beam)
			}
		}
	}
	if regions != 4*76 {
		t.Errorf("%d regions and beams", regions)
	}
	for _, own := range order {
		for _, above := range order {
			for _, confidence := range []string{"low", "medium", "high"} {
				made := []data.LawRow{
					{Place: "CA-ON", Beam: data.BeamLow, Verdict: own, Confidence: confidence, Note: "own"},
					{Place: "CA", Beam: data.BeamLow, Verdict: above, Confidence: "medium", Note: "above"},
				}
				check(made, "CA-ON", "CA", data.BeamLow)
				if answer := data.Law(made, places, nil, "CA-ON", data.BeamLow); confidence != "low" && strict(own) >= strict(above) && answer.Note != "own" {
					t.Errorf("%s, country %s: %+v", own, above, answer)
				}
			}
		}
	}
}

// An inspection that fails a car only on a condition says so; one that fails it for the
// bulb itself has none, as in Great Britain, Virginia and British Columbia.
func TestInspectionConditions(t *testing.T) {
	rows, _ := knownLaw(t)
	for _, row := range rows {
		conditional := slices.Contains([]string{"US-PA", "US-MA", "NZ", "JP"}, row.Place) && row.Verdict == data.VerdictInspection
		if (row.FailsIf != "") != conditional {
			t.Errorf("%s %s: %s, fails if %q", row.Place, row.Beam, row.Verdict, row.FailsIf)
		}
	}
}

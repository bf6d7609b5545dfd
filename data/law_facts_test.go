package data_test

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"stillbright/data"
)

var (
	dateIn = regexp.MustCompile(`\b(\d{4})(-\d\d)?(-\d\d)?\b`)
	markIn = regexp.MustCompile(`\[(read|inferred|memory)`)
)

// newest is the latest date of a text; "1986-1994" is two years, not a month.
func newest(text string) string {
	text = strings.ReplaceAll(text, "1986-1994", "1986 1994")
	found := dateIn.FindAllString(text, -1)
	if len(found) == 0 {
		return ""
	}
	return slices.Max(found)
}

// Every row of testdata/facts/legality.csv has its record: place, beam, verdict,
// source, date and confidence are equal, and no mark of the note is lost.
func TestLawHoldsTheTable(t *testing.T) {
	rows, _ := knownLaw(t)
	table := facts(t, "legality.csv")
	if len(table) != 172 || len(rows) != len(table) {
		t.Fatalf("%d records for %d rows", len(rows), len(table))
	}
	verdicts := map[string]string{
		"not permitted on public roads":                             data.VerdictNotPermitted,
		"permitted only with listed approval for lamp+vehicle pair": data.VerdictListed,
		"inspection fails if condition":                             data.VerdictInspection,
		"unclear/depends":                                           data.VerdictUnclear,
	}
	low := 0
	for i, want := range table {
		row := rows[i]
		name := row.Place + " " + row.Beam
		if row.Place != want["jurisdiction_code"] || row.Beam != want["function"] || row.Verdict != verdicts[want["verdict"]] ||
			row.Source != want["source"] || row.SourceDate != want["source_date"] || row.Confidence != want["confidence"] {
			t.Errorf("%s: %+v\nwant %v", name, row, want)
		}
		if row.AsOf != newest(want["source_date"]) {
			t.Errorf("%s: as of %q, want %q", name, row.AsOf, newest(want["source_date"]))
		}
		for _, mark := range markIn.FindAllString(want["note"], -1) {
			if !strings.Contains(row.Note, mark) {
				t.Errorf("%s: the mark %s] is lost in %q", name, mark, row.Note)
			}
		}
		if strings.HasPrefix(strings.ToLower(row.Note), "[read] as ") {
			t.Errorf("%s: the note leans on another beam: %q", name, row.Note)
		}
		if row.Confidence == "low" {
			low++
		}
	}
	if low != 111 { // legality.md, limit 2: 111 of 172 rows are low
		t.Errorf("%d rows of low confidence, want 111", low)
	}
}

// Quick view of legality.md: verdict and confidence of low beam at each place.
func TestLawQuickView(t *testing.T) {
	rows, notes := knownLaw(t)
	places := knownPlaces(t)
	view := map[string]string{
		"not_permitted medium": "US-CA US-TX US-WA CH PL AU AU-SA AU-QLD IN", "not_permitted high": "CA-QC BR", "not_permitted low": "BE IT SK",
		"unclear low": "US-NY US-FL CA-ON ES AT NL IE SE NO FI ZA AE SG", "unclear medium": "US CA EU",
		"inspection_fails low": "US-PA", "inspection_fails high": "US-VA US-MA", "inspection_fails medium": "CA-BC GB GB-NIR NZ JP",
		"listed_approval_only high": "DE", "listed_approval_only medium": "FR KR", "listed_approval_only low": "CZ HR",
	}
	count := 0
	for key, codes := range view {
		verdict, confidence, _ := strings.Cut(key, " ")
		for _, code := range strings.Fields(codes) {
			count++
			answer := data.Law(rows, places, notes, code, data.BeamLow)
			shown := verdict
			if confidence == "low" {
				shown = data.VerdictUnclear
			}
			from := data.LawOwn
			if code == "GB-NIR" || code == "AU-QLD" { // known too weakly to soften what their country says
				from = data.LawCountry
			}
			if answer.RowVerdict != verdict || answer.Confidence != confidence || answer.Verdict != shown || answer.From != from {
				t.Errorf("%s: %+v", code, answer)
			}
		}
	}
	// The federal rules bind makers and sellers; road use is the states' matter.
	for _, beam := range []string{data.BeamLow, data.BeamHigh} {
		us := data.Law(rows, places, notes, "US", beam)
		if us.Verdict != data.VerdictUnclear || !strings.Contains(us.Note, "bind makers and sellers") || !strings.Contains(us.Note, "the row of the state decides") {
			t.Errorf("US %s: %+v", beam, us)
		}
	}
	if count != 43 { // legality.md: 43 codes
		t.Errorf("%d places in the quick view", count)
	}
}

func TestLawNotes(t *testing.T) {
	_, notes := knownLaw(t)
	places := knownPlaces(t)
	seen := map[string]bool{}
	for _, note := range notes {
		if _, _, ok := data.FindPlace(places, note.Place); !ok {
			t.Errorf("note on %s: no such place", note.Place)
		}
		if key := note.Place + note.Topic; seen[key] && note.Topic != "procedure" {
			t.Errorf("%s: two notes on %s", note.Place, note.Topic)
		} else {
			seen[key] = true
		}
		if !markIn.MatchString(note.Text) {
			t.Errorf("%s %s: no mark in %q", note.Place, note.Topic, note.Text)
		}
		if note.Source == "none read" && note.Confidence != "low" {
			t.Errorf("%s %s: confidence %s without a source", note.Place, note.Topic, note.Confidence)
		}
	}
	for _, regime := range []string{"DE", "FR", "KR"} {
		if !seen[regime+"procedure"] {
			t.Errorf("%s: no procedure for its approvals", regime)
		}
	}
}

// No source names a private person: neither a party of a case nor whom a letter was
// sent to, by whose name some offices call the letter's file.
func TestSourcesNameNoPerson(t *testing.T) {
	person := regexp.MustCompile(`\bv\.? [A-Z]|files/[a-z]+\.ztv`)
	for caught, text := range map[bool]string{true: "Court RTO v A. Body 2019", false: "UN R48 rev.7, s.52"} {
		if person.MatchString(text) != caught {
			t.Errorf("%q: caught %v", text, !caught)
		}
	}
	rows, _ := knownLaw(t)
	for _, row := range rows {
		if found := person.FindString(row.Source + " " + row.Note); found != "" {
			t.Errorf("%s %s: %q in %q", row.Place, row.Beam, found, row.Source)
		}
	}
}

package data

import "slices"

// Verdicts of a law row. Under each, the local code and the authority decide.
const (
	VerdictNotPermitted = "not_permitted"        // not allowed on public roads
	VerdictListed       = "listed_approval_only" // allowed only with an approval for this bulb, lamp and vehicle
	VerdictInspection   = "inspection_fails"     // an inspection fails the vehicle; FailsIf has the condition, if there is one
	VerdictUnclear      = "unclear"              // sources conflict, are silent or are weak
)

// DefaultCaution is what is said of a place without a rule on file.
const DefaultCaution = "No rule on file for this place. Assume not allowed on public roads; ask your vehicle authority or a licensed inspector."

// DefaultAuthority is whom to ask where no authority is on file.
const DefaultAuthority = "your vehicle authority or a licensed inspector"

// LawFile is the file of law rows.
type LawFile struct {
	Format int      `yaml:"format" req:"1" min:"1" max:"1" doc:"version of this file format; 1"`
	Rows   []LawRow `yaml:"rows" req:"1" doc:"one record for each place and beam"`
}

// LawRow is what is known of LED bulbs in halogen lamps at one place for one beam.
// A row never speaks for another beam.
type LawRow struct {
	Place      string `yaml:"place" req:"1" doc:"place code"`
	Beam       string `yaml:"beam" req:"1" enum:"low|high|fog|drl" doc:"function of the lamp"`
	Verdict    string `yaml:"verdict" req:"1" enum:"not_permitted|listed_approval_only|inspection_fails|unclear" doc:"what the sources say"`
	FailsIf    string `yaml:"fails_if" doc:"for inspection_fails: on what condition; left out where an LED in a halogen lamp fails by itself"`
	Note       string `yaml:"note" req:"1" doc:"why, in short; [read], [inferred] or [memory] marks each statement"`
	Source     string `yaml:"source" req:"1" doc:"where it was read"`
	SourceDate string `yaml:"source_date" req:"1" doc:"dates of the sources, as far as they are dated"`
	AsOf       string `yaml:"as_of" doc:"newest date among them: YYYY, YYYY-MM or YYYY-MM-DD; left out when undated"`
	Confidence string `yaml:"confidence" req:"1" enum:"high|medium|low" doc:"how far the sources carry; low reads as unclear"`
}

// LawNotesFile is the file of notes on the law.
type LawNotesFile struct {
	Format int       `yaml:"format" req:"1" min:"1" max:"1" doc:"version of this file format; 1"`
	Notes  []LawNote `yaml:"notes" req:"1" doc:"one record for each place and topic"`
}

// LawNote is what is known beside the rows of a place.
type LawNote struct {
	Place      string `yaml:"place" req:"1" doc:"place code"`
	Topic      string `yaml:"topic" req:"1" enum:"motorcycle|offroad|procedure|aim" doc:"what it is about"`
	Text       string `yaml:"text" req:"1" doc:"the note; [read], [inferred] or [memory] marks each statement"`
	Source     string `yaml:"source" req:"1" doc:"where it was read"`
	Confidence string `yaml:"confidence" req:"1" enum:"high|medium|low" doc:"how far the source carries"`
}

// PlaceFile is the file of places.
type PlaceFile struct {
	Format int     `yaml:"format" req:"1" min:"1" max:"1" doc:"version of this file format; 1"`
	Places []Place `yaml:"places" req:"1" doc:"one record for each country or region"`
}

// Place is a country or region that can be named on the command line.
type Place struct {
	Code      string   `yaml:"code" req:"1" doc:"ISO 3166-1 alpha-2 or ISO 3166-2 code; EU is reserved there"`
	Name      string   `yaml:"name" req:"1" doc:"English name"`
	Aliases   []string `yaml:"aliases" doc:"other names people write"`
	Country   string   `yaml:"country" doc:"code of the country, for a region"`
	Authority string   `yaml:"authority" doc:"whom to ask; in general words, no address"`
	Drives    string   `yaml:"drives" enum:"left|right" doc:"side of the road; left out where there is no public road or it is not known"`
}

// Where a law answer comes from.
const (
	LawOwn     = "own"     // the place's own row
	LawCountry = "country" // the row of the region's country
	LawNone    = "none"    // no row: the default caution
)

// LawAnswer is what is known at a place for one beam.
type LawAnswer struct {
	Place Place
	Beam  string
	From  string // LawOwn, LawCountry or LawNone

	// Verdict is what may be shown: unclear when the confidence is low.
	Verdict string
	// RowVerdict is the row's own verdict; empty when there is no row.
	RowVerdict string
	FailsIf    string // condition under which an inspection fails; empty where an LED fails by itself
	Confidence string // high, medium or low
	AsOf       string // empty when undated
	Note       string // the row's note, or the default caution
	Fallback   string // says that the rule is the country's and why, or empty
	Source     string
	SourceDate string
	Authority  string
	Drives     string    // left, right, or empty when not known
	Notes      []LawNote // on the place, then on its country
}

// Law looks up one beam at one place. A region without a row for that beam takes the
// row of its country and says so, and so does one whose own row would be softer than
// its country's: see strictness. Without either it is the default caution. A row of
// another beam is never used; for a bulb that does low and high ask for each. The
// place must be a code of places: see FindPlace.
func Law(rows []LawRow, places []Place, notes []LawNote, place, beam string) LawAnswer {
	here, ok := find(places, place, func(p Place) string { return p.Code })
	if !ok {
		here, _ = unlistedRegion(places, place)
	}
	country, hasCountry := find(places, here.Country, func(p Place) string { return p.Code })
	answer := LawAnswer{
		Place: here, Beam: beam, From: LawNone, Verdict: VerdictUnclear, Confidence: "low",
		Note: DefaultCaution, Authority: DefaultAuthority, Drives: here.Drives, Notes: []LawNote{},
	}
	own, hasOwn := lawRow(rows, here.Code, beam)
	above, hasAbove := lawRow(rows, country.Code, beam)
	switch {
	case hasAbove && hasCountry && !hasOwn:
		answer.take(above, LawCountry)
		answer.Fallback = "no rule on file for " + here.label() + "; this is the rule of " + country.label()
	case hasAbove && hasCountry && strictness(own) < strictness(above):
		answer.take(above, LawCountry)
		answer.Fallback = "the rule on file for " + here.label() + " is softer or weakly known; this is the rule of " + country.label()
	case hasOwn:
		answer.take(own, LawOwn)
	}
	for _, authority := range []string{country.Authority, here.Authority} {
		if authority != "" {
			answer.Authority = authority
		}
	}
	if answer.Drives == "" {
		answer.Drives = country.Drives
	}
	for _, code := range []string{here.Code, country.Code} {
		for _, note := range notes {
			if code != "" && note.Place == code {
				answer.Notes = append(answer.Notes, note)
			}
		}
	}
	return answer
}

// label is the name with the code behind it.
func (p Place) label() string {
	if p.Name == p.Code {
		return p.Code
	}
	return p.Name + " (" + p.Code + ")"
}

func lawRow(rows []LawRow, place, beam string) (LawRow, bool) {
	for _, row := range rows {
		if row.Place == place && row.Beam == beam && place != "" {
			return row, true
		}
	}
	return LawRow{}, false
}

// strictness orders rows by what they leave to the owner of an LED: nothing, nothing at
// an inspection, an approved bulb, or no word. A row of low confidence is no word.
func strictness(row LawRow) int {
	if row.Confidence == "low" {
		return 0
	}
	return slices.Index([]string{VerdictUnclear, VerdictListed, VerdictInspection, VerdictNotPermitted}, row.Verdict)
}

func (a *LawAnswer) take(row LawRow, from string) {
	a.From = from
	a.Verdict, a.RowVerdict, a.FailsIf, a.Confidence = row.Verdict, row.Verdict, row.FailsIf, row.Confidence
	a.AsOf, a.Note, a.Source, a.SourceDate = row.AsOf, row.Note, row.Source, row.SourceDate
	if row.Confidence == "low" {
		a.Verdict = VerdictUnclear
	}
}

// Package sheets makes the documents of the verbs that only look up: a size, a bulb, a
// car, a beam, a wall, the law of a place, lists of records.
package sheets

import (
	"slices"

	"stillbright/data"
	"stillbright/recommend"
)

// SizeSheet is the document of `size`: one category as far as it is known.
type SizeSheet struct {
	Schema        string         `json:"schema" enum:"stillbright/size/1" doc:"document and version"`
	Size          string         `json:"size" doc:"category"`
	Aliases       []string       `json:"aliases" doc:"other names"`
	Cap           recommend.Word `json:"cap" doc:"cap by IEC 60061"`
	Beams         []string       `json:"beams" doc:"functions it serves: low high fog drl; both for low and high in one"`
	RatedW        []PerBeam      `json:"rated_w" doc:"rated power, for each filament"`
	FluxLM        []PerBeam      `json:"flux_lm" doc:"objective flux at at_v, for each filament"`
	FluxTolPct    Tolerance      `json:"flux_tol_pct" doc:"tolerance of the flux"`
	AtV           *float64       `json:"at_v" doc:"test voltage of power and flux"`
	LightCentreMM *float64       `json:"light_centre_mm" doc:"reference plane to filament centre"`
	US            []USSheet      `json:"us" doc:"figures filed in the US at 12.8 V; never compare them with those at at_v"`
	NotTheSame    []Lookalike    `json:"not_the_same" doc:"sizes that look alike and may not be swapped"`
	Discharge     bool           `json:"discharge" doc:"a discharge lamp, not a halogen lamp"`
	Source        string         `json:"source" doc:"where the figures are from"`
	Confidence    string         `json:"confidence" enum:"read|read_secondary|mixed|memory|not_found" doc:"how they are known"`
	ReadFields    []string       `json:"read_fields" doc:"figures that were read in a source; the others are from memory"`
	Notes         []string       `json:"notes" doc:"remarks"`
}

// PerBeam is a figure of one filament.
type PerBeam struct {
	Beam  string   `json:"beam" doc:"beam of the filament; any for the only one"`
	Value *float64 `json:"value" doc:"the figure"`
}

// Tolerance of a flux, percent either way.
type Tolerance struct {
	Plus  *float64 `json:"plus" doc:"upwards"`
	Minus *float64 `json:"minus" doc:"downwards"`
}

// USSheet is one figure filed in the United States.
type USSheet struct {
	Beam       string   `json:"beam" doc:"beam of the filament; any for the only one"`
	MaxW       *float64 `json:"max_w" doc:"greatest power at 12.8 V"`
	FluxLM     *float64 `json:"flux_lm" doc:"nominal flux at 12.8 V"`
	Coating    string   `json:"coating" enum:"none|black_tip|black_stripes" doc:"opaque coating of the stock bulb"`
	Source     string   `json:"source" doc:"where it was read"`
	Confidence string   `json:"confidence" doc:"how it is known"`
}

// Lookalike is a size that is taken for another.
type Lookalike struct {
	Size string `json:"size" doc:"category"`
	Why  string `json:"why" doc:"why it may not be swapped"`
}

// SizeOf makes the sheet of a size.
func SizeOf(match data.SizeMatch, us []data.USFigure) SizeSheet {
	s := match.Size
	sheet := SizeSheet{
		Schema: "stillbright/size/1", Size: s.Category, Aliases: recommend.NeverNil(s.Aliases), Cap: recommend.Word(s.Cap), Beams: recommend.NeverNil(s.Serves()),
		RatedW: []PerBeam{}, FluxLM: []PerBeam{}, FluxTolPct: Tolerance{s.FluxTolPlusPct, s.FluxTolMinusPct}, AtV: s.AtV,
		LightCentreMM: s.LightCentreMM, US: []USSheet{}, NotTheSame: []Lookalike{}, Discharge: s.Discharge,
		Source: s.Source, Confidence: s.Confidence, ReadFields: recommend.NeverNil(s.ReadFields), Notes: []string{},
	}
	if match.Note != "" {
		sheet.Notes = append(sheet.Notes, match.Note)
	}
	sheet.Notes = append(sheet.Notes, s.Notes...)
	for _, f := range s.Functions {
		sheet.RatedW = append(sheet.RatedW, PerBeam{f.Beam, f.RatedW})
		sheet.FluxLM = append(sheet.FluxLM, PerBeam{f.Beam, f.FluxLm})
	}
	for _, f := range us {
		if f.Category == s.Category {
			sheet.US = append(sheet.US, USSheet{f.Beam, f.MaxW, f.FluxLm, f.Coating, f.Source, f.Confidence})
		}
	}
	for _, similar := range s.SimilarNotSame {
		sheet.NotTheSame = append(sheet.NotTheSame, Lookalike{similar.Size, similar.Why})
	}
	if s.Discharge {
		sheet.Notes = append(sheet.Notes, "This is a discharge lamp, not a halogen lamp: high voltage, and no LED for a halogen lamp belongs there.")
	}
	return sheet
}

// SizeList is the document of bare `size`.
type SizeList struct {
	Schema string    `json:"schema" enum:"stillbright/sizes/1" doc:"document and version"`
	Sizes  []SizeRow `json:"sizes" doc:"every size"`
}

// SizeRow is one size in the list.
type SizeRow struct {
	Size       string   `json:"size" doc:"category"`
	Aliases    []string `json:"aliases" doc:"other names"`
	Beams      []string `json:"beams" doc:"functions it serves"`
	Discharge  bool     `json:"discharge" doc:"a discharge lamp"`
	Confidence string   `json:"confidence" doc:"how its figures are known"`
}

// SizeListOf lists the sizes.
func SizeListOf(sizes []data.Size) SizeList {
	all := SizeList{Schema: "stillbright/sizes/1", Sizes: []SizeRow{}}
	for _, s := range sizes {
		all.Sizes = append(all.Sizes, SizeRow{s.Category, recommend.NeverNil(s.Aliases), recommend.NeverNil(s.Serves()), s.Discharge, s.Confidence})
	}
	return all
}

// MarkingSheet is the document of `size` for what stands on a lens.
type MarkingSheet struct {
	Schema   string        `json:"schema" enum:"stillbright/marking/1" doc:"document and version"`
	Text     string        `json:"text" doc:"what was asked"`
	Markings []MarkingLine `json:"markings" doc:"markings that are known"`
	Sizes    []string      `json:"sizes" doc:"bulb sizes named on the lens"`
	Unread   []string      `json:"unread" doc:"words that are not known"`
	Notes    []string      `json:"notes" doc:"remarks"`
}

// MarkingLine is one marking.
type MarkingLine struct {
	Mark       string `json:"mark" doc:"the letters"`
	Region     string `json:"region" enum:"UN|US" doc:"rule it belongs to"`
	Meaning    string `json:"meaning" doc:"what it says"`
	Source     string `json:"source" doc:"where it was read"`
	Confidence string `json:"confidence" enum:"read|read_secondary|memory" doc:"how it is known"`
}

// ReadMarking reads what stands on a lens; ok is false when nothing of it is
// known.
func ReadMarking(text string, markings []data.Marking, sizes []data.Size) (sheet MarkingSheet, ok bool) {
	found, named, unread := data.ReadLens(markings, sizes, text)
	sheet = MarkingSheet{Schema: "stillbright/marking/1", Text: text, Markings: []MarkingLine{}, Sizes: []string{}, Unread: recommend.NeverNil(unread),
		Notes: []string{"UN letters do not name the bulb: read it on the bulb itself or in the owner's handbook. A US lens names it."}}
	for _, m := range found {
		sheet.Markings = append(sheet.Markings, MarkingLine{m.Mark, m.Region, m.Meaning, m.Source, m.Confidence})
	}
	for _, match := range named {
		sheet.Sizes = append(sheet.Sizes, match.Size.Category)
	}
	return sheet, len(found) > 0
}

// LawSheet is the document of `law`.
type LawSheet struct {
	Schema    string              `json:"schema" enum:"stillbright/law/1" doc:"document and version"`
	Where     string              `json:"where" doc:"place code"`
	Name      string              `json:"name" doc:"name of the place"`
	Lines     []recommend.LawLine `json:"lines" doc:"one for each beam asked for"`
	Procedure []string            `json:"procedure" doc:"how to find out whether an approval covers the vehicle, where the rule asks for one"`
	Notes     []LawTopic          `json:"notes" doc:"motorcycles, off-road use, approval procedure"`
	Authority string              `json:"authority" doc:"whom to ask"`
	Caution   string              `json:"caution" doc:"what this is not"`
}

// LawTopic is a note on a topic.
type LawTopic struct {
	Topic      string              `json:"topic" enum:"motorcycle|offroad|procedure|aim" doc:"what it is about"`
	Text       string              `json:"text" doc:"the note in one text; [read], [inferred] or [memory] marks each statement"`
	Says       []recommend.LawSaid `json:"says" doc:"the note, statement by statement"`
	Source     string              `json:"source" doc:"where it was read"`
	Confidence string              `json:"confidence" enum:"high|medium|low" doc:"how far the source carries"`
}

// LawSheetFor makes the law sheet of a place; an empty beam asks for all.
func LawSheetFor(k *recommend.Knowledge, place, beam string, today data.Date) LawSheet {
	beams := []string{data.BeamLow, data.BeamHigh, data.BeamFog, data.BeamDRL}
	if beam != "" {
		beams = []string{beam}
	}
	sheet := LawSheet{Schema: "stillbright/law/1", Where: place, Lines: []recommend.LawLine{}, Notes: []LawTopic{}, Procedure: []string{},
		Caution: "Local code and licensed practice decide. This is not legal advice. Driving off the road softens nothing on it."}
	for _, b := range beams {
		sheet.Lines = append(sheet.Lines, k.LawFor(recommend.Word(place), b, today))
	}
	answer := data.Law(k.Law, k.Places, k.LawNotes, place, beams[0])
	sheet.Name, sheet.Authority = answer.Place.Name, answer.Authority
	if slices.ContainsFunc(sheet.Lines, func(l recommend.LawLine) bool { return l.RowVerdict == data.VerdictListed }) {
		sheet.Procedure = approvalProcedure()
	}
	for _, note := range answer.Notes {
		sheet.Notes = append(sheet.Notes, LawTopic{note.Topic, note.Text, recommend.LawSays(note.Text), note.Source, note.Confidence})
	}
	return sheet
}

// approvalProcedure is what the places have in common where a bulb is allowed by
// an approval for lamp and vehicle: inferred from the notes on DE, FR, CZ, HR and
// KR, which name their sources.
func approvalProcedure() []string {
	return []string{
		"Read the approval mark and number on the bulb itself, not on the box.",
		"Find the approval on the list of the authority or the maker: it names the bulb, the vehicle type, the lamp and the beam.",
		"Compare vehicle type and lamp marking with your papers and your lens. A beam that is not named is not allowed.",
		"Do what the approval asks for: a cap, a ring, a sticker.",
		"Carry the approval in the vehicle and show it at the inspection.",
		"No entry for this bulb, lamp, vehicle and beam: keep the halogen.",
	}
}

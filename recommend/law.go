package recommend

import (
	"fmt"
	"strconv"
	"strings"

	"stillbright/data"
	"stillbright/recommend/road"
)

// LawFor is the law line of a place for one beam. Without a place it is the
// default caution. An old row is said to be old; it is never softened.
func (k *Knowledge) LawFor(where Word, beam string, today data.Date) LawLine {
	line := LawLine{Where: where, Beam: beam, Verdict: data.VerdictUnclear}
	if where == "" {
		line.Says = []LawSaid{}
		line.Note = "No place given. Assume not allowed on public roads until your vehicle authority says otherwise; --where names a place."
		return line
	}
	answer := data.Law(k.Law, k.Places, k.LawNotes, string(where), beam)
	line.Verdict, line.RowVerdict = answer.Verdict, Word(answer.RowVerdict)
	line.FailsIf = Word(answer.FailsIf)
	line.AsOf, line.Source, line.Says = Word(answer.AsOf), Word(answer.Source), LawSays(answer.Note)
	line.Fallback = Word(answer.Fallback)
	line.Place = Word(answer.Place.Name)
	if answer.From != data.LawNone {
		line.Confidence = Word(answer.Confidence)
	}
	if old := yearsOld(answer.AsOf, today); old >= int(k.Rules.Choice.LawOldYears.Value) && answer.From != data.LawNone {
		line.YearsOld = &old
	}
	line.Note = line.note()
	return line
}

// note is the line's data in one text, for scripts that show it as it is.
func (l LawLine) note() string {
	var texts []string
	if l.Fallback != "" {
		texts = append(texts, "Note: "+string(l.Fallback)+".")
	}
	for _, s := range l.Says {
		texts = append(texts, s.Text)
	}
	if l.YearsOld != nil {
		texts = append(texts, fmt.Sprintf("The newest source is %d years old; check before relying on it.", *l.YearsOld))
	}
	return strings.Join(texts, " ")
}

func LawSays(note string) []LawSaid {
	said := []LawSaid{}
	for _, s := range data.LawStatements(note) {
		said = append(said, LawSaid{Word(s.Known), s.Text})
	}
	return said
}

func yearsOld(asOf string, today data.Date) int {
	if len(asOf) < 4 || len(today) < 4 {
		return 0
	}
	then, errThen := strconv.Atoi(asOf[:4])
	now, errNow := strconv.Atoi(string(today[:4]))
	if errThen != nil || errNow != nil {
		return 0
	}
	return now - then
}

// claimCautions says what the pack promises that cannot be.
func (d *decision) claimCautions(bulb *data.Bulb, list []view) []string {
	var cautions []string
	// The colour claim is left out here: bulbCautions judges it by a threshold,
	// since finding where white ends costs more than the rest of a decision.
	for _, finding := range road.Audit(road.ClaimInput{
		Lumens: bulb.Claims.Lumens, Watts: bulb.Claims.Watts, Per: bulb.Claims.Per,
		MeasuredWatts: measuredWatts(bulb, list), Ladder: d.know.Claims,
	}) {
		switch finding.Verdict {
		case "impossible", "beyond_known", "needs_proof":
			cautions = append(cautions, fmt.Sprintf("Its pack claims %.0f lm/W. %s", *finding.LmPerW, finding.Text))
		}
	}
	return cautions
}

func measuredWatts(bulb *data.Bulb, list []view) *float64 {
	for _, v := range list {
		if v.watts != nil {
			return v.watts
		}
	}
	return bulb.Supply.Watts
}

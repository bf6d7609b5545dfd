package answer

import (
	"fmt"
	"strings"

	"stillbright/data"
	"stillbright/recommend"
)

// lawWords are the verdicts as a reply says them. None says that something is
// legal: no row of the record does.
var lawWords = map[string]string{
	data.VerdictNotPermitted: "an LED in a halogen lamp is not permitted on public roads",
	data.VerdictListed:       "an LED needs an approval for this very bulb, lamp and vehicle",
	data.VerdictInspection:   "an inspection fails the car for an LED in a halogen lamp",
	data.VerdictUnclear:      "unclear; assume that an LED is not allowed on public roads",
}

const noPlaceLaw = "Law: no place was named; assume that an LED is not allowed on public roads until your vehicle authority says otherwise."

// lawSentences are the law lines. Asked about the law first, the note of the row
// and its source follow.
func lawSentences(r *recommend.Reply) []string {
	asked := r.Asks[0] == "law"
	var texts []string
	note := "" // said once for beams that share it
	for _, law := range r.Law {
		if law.Where == "" {
			return []string{noPlaceLaw}
		}
		text := fmt.Sprintf("Law in %s (%s), %s beam: %s", law.Name, law.Where, law.Beam, lawVerdict(law.LawLine, law.Verdict, lawWords))
		if law.RowVerdict == "" {
			text += " (no rule on file)."
		} else {
			asOf := "undated"
			if law.AsOf != "" {
				asOf = "as of " + string(law.AsOf)
			}
			text += fmt.Sprintf(" (%s, %s confidence).", asOf, law.Confidence)
		}
		if law.RowVerdict != "" && string(law.RowVerdict) != law.Verdict {
			text += " The sources lean to this, but are weak: " + lawVerdict(law.LawLine, string(law.RowVerdict), lawWords) + "."
		}
		if asked && law.RowVerdict != "" && law.Note != note {
			note = law.Note
			text += " " + lawNote(law.Note)
			if law.Source != "" {
				text += " Source: " + strings.TrimSuffix(string(law.Source), ".") + "."
			}
		}
		texts = append(texts, text)
	}
	if len(texts) > 0 {
		texts[len(texts)-1] += fmt.Sprintf(" Ask %s; this is no legal advice.", r.Law[len(r.Law)-1].Authority)
	}
	return texts
}

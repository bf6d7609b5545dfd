package answer

import (
	"fmt"
	"reflect"
	"strings"

	"stillbright/data"
	"stillbright/recommend"
	"stillbright/recommend/reply"
)

// lawWords are the verdicts on an LED in a halogen lamp. None says that something is
// legal: no row of the record does.
var lawWords = map[string]string{
	data.VerdictNotPermitted: "not permitted on public roads",
	data.VerdictListed:       "only with an approval for this lamp and vehicle",
	data.VerdictInspection:   "an LED in a halogen lamp fails the inspection",
	data.VerdictUnclear:      "unclear, assume not allowed on public roads",
}

// lawVerdict is a verdict of a row in words; an inspection that fails on a condition
// says it, since without one the car fails for the bulb itself.
func lawVerdict(law recommend.LawLine, verdict string) string {
	if verdict == data.VerdictInspection && law.FailsIf != "" {
		return "an inspection can fail the car if " + string(law.FailsIf)
	}
	return lawWords[verdict]
}

// lawWeak is what weak sources say beside the verdict that is shown; empty where
// the row's own verdict is shown.
func lawWeak(law recommend.LawLine) string {
	if law.RowVerdict == "" || string(law.RowVerdict) == law.Verdict {
		return ""
	}
	return "The sources lean to this, but are weak: " + lawVerdict(law, string(law.RowVerdict)) + "."
}

func lawDate(law recommend.LawLine) string {
	if law.AsOf == "" {
		return "undated"
	}
	return "as of " + string(law.AsOf)
}

// lawStatement is place, beam, verdict, date and confidence.
func lawStatement(law recommend.LawLine) string {
	if law.Where == "" {
		return "Law: no place given, so assume an LED is not allowed on public roads (--where)."
	}
	text := fmt.Sprintf("Law (%s, %s): %s; ", law.Where, law.Beam, lawVerdict(law, law.Verdict))
	if law.RowVerdict == "" {
		return text + "no rule on file, undated."
	}
	return text + fmt.Sprintf("%s, %s confidence.", lawDate(law), law.Confidence)
}

// knownBy is how a statement of the law is known, in words that stand before it.
// What was read needs none: its source stands beside it.
var knownBy = map[recommend.Word]string{
	"read, weak":  "From a weak source: ",
	"read, press": "From the press: ",
	"read, blogs": "From blogs: ",
	"memory":      "From memory, not checked: ",
	"inferred":    "Concluded, not read: ",
}

// lawNote is what is known of the law of a line, and how.
func lawNote(law recommend.LawLine) string {
	if law.Where == "" {
		return "No place given. Assume not allowed on public roads until your vehicle authority says otherwise; --where names a place."
	}
	text := lawSays(law.Says)
	if law.Fallback != "" {
		text = "Note: " + string(law.Fallback) + ". " + text
	}
	if law.YearsOld != nil {
		text += fmt.Sprintf(" The newest source is %d years old; check before relying on it.", *law.YearsOld)
	}
	return text
}

// lawSays writes statements as sentences; where one was read again after others
// that were not, it says so.
func lawSays(list []recommend.LawSaid) string {
	var b strings.Builder
	before := ""
	for i, said := range list {
		words := knownBy[said.Known]
		if i > 0 {
			b.WriteByte(' ')
		}
		if words == "" && before != "" {
			b.WriteString("Read again: ")
		}
		b.WriteString(words + said.Text)
		before = words
	}
	text := b.String()
	if text != "" && !strings.HasSuffix(text, ".") {
		text += "."
	}
	return text
}

const noPlaceLaw = "Law: no place was named; assume that an LED is not allowed on public roads until your vehicle authority says otherwise."

// lawSentences are the law lines of a reply. Asked about the law first, what the
// source says follows.
func lawSentences(r *reply.Reply) []string {
	asked := r.Asks[0] == "law"
	var texts []string
	var before []recommend.LawSaid // said once for beams that share it
	for _, law := range r.Law {
		if law.Where == "" {
			return []string{noPlaceLaw}
		}
		text := fmt.Sprintf("Law on LEDs in halogen lamps in %s (%s), %s beam: %s", law.Name, law.Where, law.Beam, lawVerdict(law.LawLine, law.Verdict))
		if law.RowVerdict == "" {
			text += " (no rule on file)."
		} else {
			text += fmt.Sprintf(" (%s, %s confidence).", lawDate(law.LawLine), law.Confidence)
		}
		if weak := lawWeak(law.LawLine); weak != "" {
			text += " " + weak
		}
		if asked && law.RowVerdict != "" && !reflect.DeepEqual(law.Says, before) {
			before = law.Says
			text += " " + lawNote(law.LawLine)
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

// shortLaw is the law line of a comment.
func shortLaw(r *reply.Reply) string {
	if len(r.Law) == 0 {
		return ""
	}
	law := r.Law[0]
	if law.Where == "" {
		return "Without a place: assume it is not allowed on public roads."
	}
	dated := ""
	if law.AsOf != "" {
		dated = " (" + lawDate(law.LawLine) + ")"
	}
	return fmt.Sprintf("Law on LEDs in %s, %s beam: %s%s.", law.Name, law.Beam, lawVerdict(law.LawLine, law.Verdict), dated)
}

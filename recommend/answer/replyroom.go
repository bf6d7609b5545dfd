package answer

import (
	"fmt"
	"slices"

	"stillbright/data"
	"stillbright/fitment"
	"stillbright/recommend"
	"stillbright/recommend/reply"
)

// mostRoomNames is how many bulbs are named as going in or not.
const mostRoomNames = 3

// roomSentences say which LEDs go into the room that was measured behind the
// lamp, whatever else speaks for or against them.
func roomSentences(r *reply.Reply) []string {
	var texts []string
	for i := range r.Lamps {
		if d := r.Lamps[i].Pick; d != nil && d.Need.RearClearanceMM != nil {
			if text := roomSentence(d); text != "" {
				texts = append(texts, text)
			}
		}
	}
	return texts
}

func roomSentence(d *recommend.Pick) string {
	var in, tight, out []string
	for _, list := range [][]recommend.Ranked{d.Ranked, d.MeasureFirst} {
		for _, b := range list {
			check, ok := rearCheck(b.Fit.Checks)
			if !ok || b.Kind != data.KindLED {
				continue
			}
			name := bulbName(b, d.Need.Size)
			if check.Have != nil {
				name += " (needs " + *check.Have + " mm)"
			}
			switch check.Verdict {
			case fitment.Fits:
				in = append(in, name)
			case fitment.NeedsWork, fitment.Unknown:
				tight = append(tight, name)
			}
		}
	}
	for _, b := range d.SetAside {
		if b.Kind == data.KindLED && slices.ContainsFunc(b.Because, func(reason recommend.Reason) bool { return reason.Check == "rear" }) {
			out = append(out, clipName(shortName(b.Name, d.Need.Size)))
		}
	}
	room := significant(*d.Need.RearClearanceMM, 4)
	text := ""
	add := func(before string, names []string) {
		if len(names) == 0 {
			return
		}
		if len(names) > mostRoomNames {
			names = append(slices.Clone(names[:mostRoomNames]), "others")
		}
		if text != "" {
			text += "; "
		}
		text += before + sentence(names)
	}
	add("there is room for ", in)
	add("tight, or with a deeper cap: ", tight)
	add("too long: ", out)
	if text == "" {
		return ""
	}
	return fmt.Sprintf("%s with %s mm behind it: %s.", lampLabel(d.Need), room, text)
}

func rearCheck(checks []fitment.Finding) (fitment.Finding, bool) {
	i := slices.IndexFunc(checks, func(f fitment.Finding) bool { return f.Check == "rear" })
	if i < 0 {
		return fitment.Finding{}, false
	}
	return checks[i], true
}

package answer

import (
	"strings"

	"stillbright/recommend/sheets"
)

// Car is the sheet of one car: what is known of each lamp, and what is still
// to be measured.
func Car(s sheets.CarSheet) Document {
	p := new(page)
	p.head(s.Name+" ("+s.Car+")", "")
	for _, f := range s.Facts {
		p.item(f.Name + ": " + f.Value)
	}
	for _, lamp := range s.Lamps {
		p.part(lamp.Size + " " + lamp.Beam)
		for _, f := range lamp.Facts {
			p.item(gateWord(f.Name) + ": " + f.Value)
		}
		if len(lamp.Unknown) > 0 {
			p.item("not known: " + gateWord(strings.Join(lamp.Unknown, ", ")))
		}
		for _, note := range lamp.Notes {
			p.item("note: " + note)
		}
	}
	for _, note := range s.Notes {
		p.say("Note: " + note)
	}
	p.say("Source: " + s.Source)
	p.invented(s.Catalog)
	return p.doc
}

package answer

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"stillbright/data"
	"stillbright/data/quantity"
	"stillbright/recommend"
	"stillbright/recommend/sheets"
)

var confidenceWords = map[string]string{
	"read":           "read in the source",
	"read_secondary": "read at second hand",
	"mixed":          "partly read, partly from memory",
	"memory":         "from memory, not checked",
	"not_found":      "not found in any source",
}

// Size is the sheet of one size.
func Size(s sheets.SizeSheet) Document {
	p := new(page)
	head := s.Size
	if len(s.Aliases) > 0 {
		head += " (also " + strings.Join(s.Aliases, ", ") + ")"
	}
	if s.Discharge {
		head += ": a discharge lamp, not a halogen lamp"
	}
	p.head(head, "")
	row := func(name, text string) { p.entry(Item{Label: name, Text: plainText(text)}) }
	p.put(List{Labels: 14})
	if len(s.Beams) > 0 {
		row("beams", strings.Join(s.Beams, ", "))
	}
	if s.Cap != "" {
		row("cap", string(s.Cap))
	}
	row("rated power", perBeam(s.RatedW, "W"))
	row("flux", perBeam(s.FluxLM, "lm")+tolerance(s.FluxTolPct)+at(s.AtV))
	if s.LightCentreMM != nil {
		row("light centre", quantity.Format(*s.LightCentreMM, "mm", 4)+" from the flange")
	}
	for _, us := range s.US {
		row("US, 12.8 V", usText(us))
	}
	row("known", confidenceWords[s.Confidence]+readFields(s))
	row("source", s.Source)
	for _, other := range s.NotTheSame {
		p.item("not " + other.Size + ": " + other.Why)
	}
	for _, note := range s.Notes {
		p.item("note: " + note)
	}
	return p.doc
}

// coatingWords is what the stock bulb's glass wears, as the US list has it.
var coatingWords = map[string]string{"none": "clear tip", "black_tip": "black tip", "black_stripes": "black stripes"}

func usText(us sheets.USSheet) string {
	text := fmt.Sprintf("%s lm, at most %s W, %s", orDash(us.FluxLM, whole), orDash(us.MaxW, func(v float64) string { return significant(v, 3) }), cmp.Or(coatingWords[us.Coating], gateWord(us.Coating)))
	if us.Beam == "any" {
		return text // the only filament
	}
	return us.Beam + ": " + text
}

// fieldWords are keys of a size's record as a person would say them.
var fieldWords = map[string]string{
	"filaments": "number of filaments", "filament": "how the filament lies", "rated": "rated power", "max": "greatest power",
	"flux_tolerance": "tolerance of the flux", "at": "test volts", "light_centre": "light centre", "filament_length": "length of the filament", "black_tip": "coating of the tip",
}

func readFields(s sheets.SizeSheet) string {
	if len(s.ReadFields) == 0 || s.Confidence == "read" {
		return ""
	}
	names := make([]string, len(s.ReadFields))
	for i, field := range s.ReadFields {
		names[i] = cmp.Or(fieldWords[field], field)
	}
	return " (read: " + strings.Join(names, ", ") + ")"
}

func perBeam(values []sheets.PerBeam, unit string) string {
	var parts []string
	for _, v := range values {
		if v.Value == nil {
			continue
		}
		text := quantity.Format(*v.Value, unit, 5)
		if len(values) > 1 {
			text = v.Beam + " " + text
		}
		parts = append(parts, text)
	}
	if len(parts) == 0 {
		return "–"
	}
	return strings.Join(parts, ", ")
}

func tolerance(t sheets.Tolerance) string {
	if t.Plus == nil || t.Minus == nil {
		return ""
	}
	if *t.Plus == *t.Minus {
		return " ±" + significant(*t.Plus, 3) + " %"
	}
	return fmt.Sprintf(" +%s/-%s %%", significant(*t.Plus, 3), significant(*t.Minus, 3))
}

func at(volts *float64) string {
	if volts == nil {
		return ""
	}
	return " at " + significant(*volts, 3) + " V"
}

// Sizes is the list of sizes.
func Sizes(list sheets.SizeList) Document {
	p := new(page)
	t := Table{Head: []string{"size", "also", "beams", "figures"}, Shrink: 1}
	for _, s := range list.Sizes {
		beams := strings.Join(s.Beams, " ")
		if s.Discharge {
			beams = "discharge lamp, not halogen"
		}
		t.add(s.Size, strings.Join(s.Aliases, " "), beams, confidenceWords[s.Confidence])
	}
	p.put(t)
	return p.doc
}

// Marking is what stands on a lens, read.
func Marking(m sheets.MarkingSheet) Document {
	p := new(page)
	for _, line := range m.Markings {
		p.say(fmt.Sprintf("%s (%s): %s", line.Mark, line.Region, line.Meaning))
		p.item(fmt.Sprintf("%s; %s", line.Source, confidenceWords[line.Confidence]))
	}
	if len(m.Sizes) > 0 {
		p.say("bulb named on the lens: " + strings.Join(m.Sizes, ", "))
	}
	if len(m.Unread) > 0 {
		p.say("not known: " + strings.Join(m.Unread, ", "))
	}
	for _, note := range m.Notes {
		p.say(note)
	}
	return p.doc
}

var topicWords = map[string]string{
	"motorcycle": "Motorcycles",
	"offroad":    "Off-road use",
	"procedure":  "Approval at this place",
	"aim":        "Aim",
}

// Law is what is known of the rules at a place.
func Law(s sheets.LawSheet) Document {
	p := new(page)
	p.head(fmt.Sprintf("LED bulbs in halogen lamps, %s (%s)", s.Name, s.Where), "")
	for _, line := range alikeLaw(s.Lines) {
		p.part(lawStatement(line))
		p.item(lawNote(line))
		if weak := lawWeak(line); weak != "" {
			p.item(weak)
		}
		if line.Source != "" {
			p.item("Source: " + string(line.Source))
		}
	}
	p.numbered("Whether an approval covers your vehicle", s.Procedure)
	for _, note := range s.Notes {
		p.part(fmt.Sprintf("%s: %s", topicWords[note.Topic], lawSays(note.Says)))
		p.item("Source: " + note.Source)
	}
	p.gap()
	legend := "A statement was read in the source under it, unless it says otherwise."
	if slices.ContainsFunc(s.Lines, func(l recommend.LawLine) bool { return l.Beam == data.BeamDRL }) {
		legend += " drl: daytime running lights."
	}
	p.say(legend)
	p.say("Ask " + s.Authority + ". " + s.Caution)
	return p.doc
}

// alikeLaw joins neighbouring lines that say the same of several beams.
func alikeLaw(lines []recommend.LawLine) []recommend.LawLine {
	var joined []recommend.LawLine
	for i, line := range lines {
		if i > 0 {
			same := lines[i-1]
			same.Beam = line.Beam
			if reflect.DeepEqual(same, line) {
				joined[len(joined)-1].Beam += ", " + line.Beam
				continue
			}
		}
		joined = append(joined, line)
	}
	return joined
}

// Bulbs is the list of a catalog's bulbs.
func Bulbs(c data.Catalog, size string) Document {
	p := new(page)
	t := Table{Head: []string{"bulb", "name", "kind", "size", "tests", "price"}, Shrink: 1}
	for _, b := range c.Bulbs {
		if size != "" && b.Size != size {
			continue
		}
		tests := 0
		for _, lot := range b.Lots {
			tests += len(lot.Tests)
		}
		price := "–"
		if b.Price != nil {
			price = strings.TrimSuffix(fixed(b.Price.Amount, 2), ".00") + " " + b.Price.Currency
			if b.Per != "" {
				price += " " + b.Per
			}
		}
		t.add(b.ID, b.Name, b.Kind, b.Size, fmt.Sprint(tests), price)
	}
	p.put(t)
	p.say(fmt.Sprintf("%s, %s, catalog %q", plural(len(t.Rows), "bulb", "bulbs"), plural(len(c.Rigs), "rig", "rigs"), c.Name))
	p.invented(recommend.CatalogLine{Name: c.Name, Invented: c.Invented})
	return p.doc
}

// Cars is the list of a catalog's cars.
func Cars(c data.Catalog) Document {
	p := new(page)
	t := Table{Head: []string{"car", "name", "lamps", "where"}, Shrink: 2}
	for _, car := range c.Cars {
		var lamps []string
		for _, lamp := range car.Lamps {
			lamps = append(lamps, strings.TrimSpace(lamp.Size+" "+lamp.Beam+" "+lamp.Housing))
		}
		t.add(car.ID, car.Name, strings.Join(lamps, ", "), car.Where)
	}
	p.put(t)
	p.invented(recommend.CatalogLine{Name: c.Name, Invented: c.Invented})
	return p.doc
}

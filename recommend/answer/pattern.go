package answer

import (
	"fmt"
	"math"
	"strings"

	"stillbright/data"
	"stillbright/recommend/beam"
	"stillbright/recommend/sheets"
)

// Pattern is one beam in figures: the score and the glare gate first, then what
// they are made of, the beam in plain characters, the limits, what to know.
func Pattern(s *sheets.PatternSheet) Document {
	p := new(page)
	switch s.Glare.Verdict {
	case "not_measured", "unclear": // no score stands before a beam that may dazzle
		p.head(glareLine(s), ToneDoubt)
		p.say(patternHead(s))
	case "not_applicable":
		p.head(patternHead(s), patternTone(s))
	default:
		p.head(patternHead(s), patternTone(s))
		p.say(glareLine(s))
	}
	p.rows(12, patternRows(s)...)
	if f := s.Drawing.Bulb; f != nil {
		p.put(Picture{Of: fieldPicture{f}, Alt: beamAlt})
	}
	p.limits(s.Limits)
	for _, note := range s.Notes {
		p.say("Note: " + note + ".")
	}
	if s.Saved != nil {
		p.say(fmt.Sprintf("Written to %s: the newest test of %s in rig %s.", s.Saved.File, s.Saved.Bulb, s.Saved.Rig))
	}
	if s.Plot != "" {
		p.say("Picture: " + string(s.Plot) + ".")
	}
	for _, caution := range s.Cautions {
		p.caution(caution)
	}
	return p.doc
}

// patternTone is red where the beam dazzles.
func patternTone(s *sheets.PatternSheet) Tone {
	if s.Verdict == sheets.PatternDazzles {
		return ToneBad
	}
	return ""
}

var methodWords = map[string]string{
	beam.MethodGrid: "measured on a grid", beam.MethodPhoto: "from a pair of photos", beam.MethodGrade: "by eye",
}

func patternHead(s *sheets.PatternSheet) string {
	if isList(s) {
		text := fmt.Sprintf("A list of points, %s beam: held to the published tables only, not scored.", s.Beam)
		if s.Verdict == sheets.PatternDazzles {
			text += " It dazzles."
		}
		return text
	}
	text := fmt.Sprintf("Pattern %s of 100 (95 %% band %s to %s): %s. %s beam, %s.", whole(s.Score), whole(s.Low), whole(s.High),
		s.Verdict, strings.ToUpper(s.Beam[:1])+s.Beam[1:], methodWords[s.Method])
	if missing := missingParts(s); len(missing) > 0 {
		text += " Not measured, so counted at its worst: " + sentence(missing) + "."
	}
	return text
}

// missingParts names the parts of a beam's score that were not measured.
func missingParts(s *sheets.PatternSheet) []string {
	var names []string
	for _, part := range []struct {
		name  string
		value *float64
		skip  bool
	}{{"cutoff", s.Parts.Sharpness, s.Beam == beam.High}, {"hot spot", s.Parts.HotSpot, false}, {"stray light", s.Parts.Stray, s.Beam == beam.High},
		{"dark spots", s.Parts.Dark, false}, {"width", s.Parts.Width, false}} {
		if part.value == nil && !part.skip {
			names = append(names, part.name)
		}
	}
	return names
}

// isList says whether only a list of points was given.
func isList(s *sheets.PatternSheet) bool {
	return s.Method == beam.MethodGrid && s.Drawing.Bulb == nil
}

func glareLine(s *sheets.PatternSheet) string {
	switch {
	case s.Glare.Verdict == "not_measured":
		return fmt.Sprintf("Dazzle not measured: %s. The limit is %g times your halogen.", s.Glare.Why, *s.Glare.Gate)
	case s.Glare.Verdict == "unclear":
		return fmt.Sprintf("Dazzle unclear: %s.", s.Glare.Why)
	case s.Glare.VsStock == nil:
		return "Glare gate: " + s.Glare.Why + "."
	}
	text := fmt.Sprintf("Glare gate: stray light is %s times stock; the gate is %g: %s.", fixed(*s.Glare.VsStock, 2), *s.Glare.Gate, gateWord(s.Glare.Verdict))
	if s.Glare.Verdict == "over" {
		return text + " It is set aside under any weights."
	}
	if low, high := s.Stray.VsStockLow, s.Stray.VsStockHigh; low != nil && high != nil {
		text += fmt.Sprintf(" 95 %% range %s to %s.", fixed(*low, 2), fixed(*high, 2))
	}
	return text
}

// patternRows are the figures, each under its name. The value of a part stands
// behind its figures.
func patternRows(s *sheets.PatternSheet) [][2]string {
	var rows [][2]string
	add := func(name string, part *float64, texts ...string) {
		var said []string
		for _, text := range texts {
			if text != "" {
				said = append(said, text)
			}
		}
		if part != nil {
			said = append(said, "part "+fixed(*part, 2))
		}
		if len(said) > 0 {
			rows = append(rows, [2]string{name, strings.Join(said, "; ")})
		}
	}
	if s.Method == beam.MethodGrade {
		for _, row := range []struct {
			name string
			part *float64
		}{{"cutoff", s.Parts.Sharpness}, {"hot spot", s.Parts.HotSpot}, {"stray light", s.Parts.Stray}, {"dark spots", s.Parts.Dark}, {"width", s.Parts.Width}} {
			if row.part == nil {
				continue
			}
			add(row.name, row.part)
		}
		return rows
	}
	if c := s.Cutoff; s.Beam != beam.High && !isList(s) {
		if c.V == nil {
			add("cutoff", s.Parts.Sharpness, "not found")
		} else {
			add("cutoff", s.Parts.Sharpness, fmt.Sprintf("%s at %s", updown(*c.V), leftright(*c.ColumnH)),
				given(c.StockV, func(v float64) string { return "stock " + updown(v) }),
				photoBand(s, func(b *beam.Bands) string { return "±" + fixed(b.CutoffV, 2) }),
				given(c.Linearity, func(v float64) string { return "straight to " + fixed(v, 2) + " deg" }))
			add("sharpness G", nil, sharpnessText(c))
		}
	}
	hot := s.HotSpot
	if hot.H != nil && hot.V != nil {
		add("hot spot", s.Parts.HotSpot, leftright(*hot.H)+", "+updown(*hot.V), photoBand(s, func(b *beam.Bands) string { return "±" + fixed(b.HotSpot, 2) }),
			given(hot.BelowCutoff, func(v float64) string { return fixed(v, 2) + " under the cutoff" }),
			given(hot.Candela, func(v float64) string { return thousands(v) + " cd" }),
			given(hot.Lux, func(v float64) string { return significant(v, 3) + " lux" }),
			given(hot.VsStock, func(v float64) string { return fixed(v, 2) + " times stock" }),
			highOnly(s, hot.OnAxis, func(v float64) string { return percent(100*v) + " of it on the axis" }),
			highOnly(s, hot.Split, func(v float64) string { return splitText(v) }))
	}
	if s.Beam != beam.High {
		add("stray light", s.Parts.Stray, given(s.Stray.VsStock, func(v float64) string { return fixed(v, 2) + " times stock" }),
			given(s.Stray.OfPeak, func(v float64) string { return significant(100*v, 2) + " % of the peak" }),
			given(s.Stray.MeanCd, func(v float64) string { return "mean " + thousands(v) + " cd" }),
			given(s.Stray.MostCd, func(v float64) string { return "most " + thousands(v) + " cd" }),
			given(s.Stray.OfLimit, func(v float64) string { return "worst limit reached to " + percent(100*v) }),
			areasText(s.Stray.Patches, "patch", "patches", patchMeasure(s)))
	}
	if isList(s) {
		return rows
	}
	dark := "none"
	if len(s.Dark) > 0 {
		dark = areasText(s.Dark, "spot", "spots", "its sides")
	}
	add("dark spots", s.Parts.Dark, dark)
	add("width", s.Parts.Width, given(s.WidthDeg, func(v float64) string {
		if s.WidthLeast {
			return "at least " + significant(v, 3) + " deg at a tenth of the peak"
		}
		return significant(v, 3) + " deg at a tenth of the peak"
	}), photoBand(s, func(b *beam.Bands) string { return "±" + percent(b.WidthPct) }), given(s.Foreground, func(v float64) string { return "foreground " + fixed(v, 2) + " of the peak" }))
	return rows
}

func given(value *float64, text func(float64) string) string {
	if value == nil {
		return ""
	}
	return text(*value)
}

// photoBand is the band of a figure from photos.
func photoBand(s *sheets.PatternSheet, text func(b *beam.Bands) string) string {
	if s.Bands == nil {
		return ""
	}
	return text(s.Bands)
}

func highOnly(s *sheets.PatternSheet, value *float64, text func(float64) string) string {
	if s.Beam != beam.High {
		return ""
	}
	return given(value, text)
}

func splitText(v float64) string {
	if v >= 1 {
		return "one peak"
	}
	return "two peaks, " + percent(100*v) + " of the light between them"
}

var gWords = map[string]string{
	beam.GUnder: "under the limits: soft", beam.GInside: "inside the limits", beam.GOver: "over the limits: hard",
	beam.GUncertain: "too near to a limit to call",
}

func sharpnessText(c beam.CutoffFigures) string {
	if !c.GMeasured {
		text := "cannot be measured here"
		if c.G != nil {
			text += ", at least " + significant(*c.G, 2)
		}
		return text + " (see the notes)"
	}
	return significant(*c.G, 3) + ", " + gWords[c.GVerdict] + given(c.StockG, func(v float64) string { return "; stock " + significant(v, 3) })
}

// areasText lists the largest places, since the JSON holds all.
func areasText(areas []beam.Area, one, many, measure string) string {
	if len(areas) == 0 {
		return ""
	}
	const most = 2
	text := plural(len(areas), one, many)
	var places []string
	for _, a := range areas[:min(most, len(areas))] {
		places = append(places, fmt.Sprintf("at %s, %s (%s sq deg, %s times %s)", leftright(a.H), updown(a.V), significant(a.Size, 2), significant(a.Ratio, 2), measure))
	}
	return text + " " + strings.Join(places, ", ")
}

// patchMeasure is what the light of a stray patch is set against.
func patchMeasure(s *sheets.PatternSheet) string {
	if s.Drawing.Stock != nil {
		return "stock"
	}
	return "its sides"
}

func updown(v float64) string { return side(v, "up", "down") }

func leftright(h float64) string { return side(h, "right", "left") }

func side(value float64, plus, minus string) string {
	text := fixed(math.Abs(value), 2)
	switch {
	case text == "0.00":
		return "0 deg"
	case value < 0:
		return text + " " + minus
	}
	return text + " " + plus
}

// thousands rounds to what was measured and parts thousands by a comma.
func thousands(value float64) string {
	text := significant(value, 4)
	if len(text) > 3 && !strings.Contains(text, ".") {
		for i := len(text) - 3; i > 0; i -= 3 {
			text = text[:i] + "," + text[i:]
		}
	}
	return text
}

// limits are the failing rows of every table, and how many pass.
func (p *page) limits(results []beam.LimitResult) {
	if len(results) == 0 {
		return
	}
	p.gap()
	var standards []string
	by := map[string][]beam.LimitResult{}
	for _, r := range results {
		if by[r.Standard] == nil {
			standards = append(standards, r.Standard)
		}
		by[r.Standard] = append(by[r.Standard], r)
	}
	for _, standard := range standards {
		var failed []beam.LimitResult
		saved := 0
		for _, r := range by[standard] {
			if !r.OK {
				failed = append(failed, r)
				if r.OKReaimed != nil && *r.OKReaimed {
					saved++
				}
			}
		}
		n := len(by[standard])
		head := fmt.Sprintf("%s: all %s that were measured are met.", standard, plural(n, "row", "rows"))
		if len(failed) > 0 {
			head = fmt.Sprintf("%s: %d of %s that were measured %s not met", standard, len(failed), plural(n, "row", "rows"), areIs(len(failed)))
			if saved > 0 {
				head += fmt.Sprintf("; %d of them ok after the re-aim", saved)
			}
			head += "."
		}
		p.say(head)
		if len(failed) == 0 {
			continue
		}
		t := Table{Head: []string{"  row", "cd", "limit", "re-aim"}, Shrink: 0}
		for _, r := range failed {
			t.add("  "+r.Point, thousands(r.Candela), limitText(r), reaimText(r))
		}
		p.put(t)
	}
	p.say("This is information for a tester, never a claim of compliance.")
}

func areIs(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}

func limitText(r beam.LimitResult) string {
	var parts []string
	if r.Min != nil && r.Candela < *r.Min {
		parts = append(parts, "min "+thousands(*r.Min))
	}
	if r.Max != nil && r.Candela > *r.Max {
		parts = append(parts, "max "+thousands(*r.Max))
	}
	return strings.Join(parts, ", ")
}

func reaimText(r beam.LimitResult) string {
	switch {
	case r.OKReaimed == nil:
		return "none allowed, or a list cannot tell"
	case !*r.OKReaimed:
		return "not met after it either"
	case r.Estimated:
		return "ok after the quarter-degree re-aim (est.)"
	}
	return "ok after the quarter-degree re-aim"
}

// LimitTables lists the published tables by the names that --limits takes.
func LimitTables(tables []data.LimitTable) Document {
	p := new(page)
	p.say("Tables for stillbright pattern --grid FILE --limits NAME (several: repeat it)")
	var rows [][2]string
	for _, t := range tables {
		rows = append(rows, [2]string{t.ID, fmt.Sprintf("%s: %s; %s", t.Beam, t.Title, confidenceWords[t.Confidence])})
	}
	p.rows(15, rows...)
	p.say("Information for a tester, never a claim of compliance.")
	return p.doc
}

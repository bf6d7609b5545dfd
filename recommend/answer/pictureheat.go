package answer

import (
	"fmt"
	"math"
	"strings"

	"stillbright/recommend"
	"stillbright/recommend/answer/draw"
)

// heatSpot is one bulb on the picture of light against heat.
type heatSpot struct {
	short, name string
	hot         recommend.Hot
	heat        float64
	pattern     *float64 // 0..100, nil not measured
	stock       bool
}

// mostSpots is how many bulbs the picture of light against heat names.
const mostSpots = 12

// HeatPicture draws light against heat for the ranked bulbs, pattern as size.
func HeatPicture(d *recommend.Pick) Plot {
	spots := []heatSpot{stockSpot(d.Stock)}
	for i, r := range d.Ranked[:min(len(d.Ranked), mostSpots)] {
		spots = append(spots, heatSpot{fmt.Sprint(i + 1), shortName(r.Name, d.Need.Size), r.Hot, r.Parts.Heat, r.Pattern.Score, false})
	}
	return heatPicture(spots, max(0, len(d.Ranked)-mostSpots), d.Need, d.Catalog.Invented)
}

// HeatPictureOf draws light against heat for the compared bulbs.
func HeatPictureOf(s *recommend.CompareSheet) Plot {
	spots := []heatSpot{stockSpot(s.Stock)}
	for i, b := range s.Bulbs {
		spots = append(spots, heatSpot{letter(i), shortName(b.Name, s.Need.Size), b.Hot, b.Parts.Heat, b.Pattern.Score, false})
	}
	return heatPicture(spots, 0, s.Need, s.Catalog.Invented)
}

func stockSpot(s recommend.Stock) heatSpot {
	return heatSpot{"H", "your halogen", s.Hot, s.Parts.Heat, s.Pattern.Score, true}
}

// patternSize is the width of a spot: its area goes with the pattern score.
func patternSize(score float64) float64 { return max(1.5, 0.7*math.Sqrt(score)) }

func heatPicture(spots []heatSpot, more int, n recommend.Need, invented bool) Plot {
	s := newPicture("Light, heat and pattern", needInShort(n), pictureWide, warmHigh, invented)
	a := axes{sheet: s, left: 19, right: 124, top: 22, bottom: 94, x0: 0.9, x1: 1.1, y0: 0.8, y1: 1.1}
	var drawn []heatSpot
	var missing []string
	for _, spot := range spots {
		if spot.hot.VsStock == nil {
			missing = append(missing, spot.short+" "+spot.name)
			continue
		}
		drawn = append(drawn, spot)
		a.x0, a.x1 = min(a.x0, *spot.hot.VsStockLow), max(a.x1, *spot.hot.VsStockHigh)
		a.y0 = min(a.y0, spot.heat)
	}
	room := 0.05 * (a.x1 - a.x0)
	a.x0, a.x1 = max(0, a.x0-room), a.x1+room
	a.y0 = max(0, a.y0-0.1)
	a.frame("light after "+significant(n.TripMin, 3)+" min, times stock; bar: 95 % band", "heat value, 1 is best", 8, 5)
	for i := len(drawn) - 1; i >= 0; i-- { // the stock lies on top
		drawn[i].mark(a)
	}
	nameSpots(a, drawn)
	heatLegend(s, drawn, missing, more)
	s.Description = heatLine(drawn, missing, more, n)
	return Plot{s}
}

// mark draws the spot over its band; a cross stands for a pattern not measured.
func (spot heatSpot) mark(a axes) {
	p := a.at(*spot.hot.VsStock, spot.heat)
	pen := draw.Pen{Ink: draw.Grey(0.45), Thick: 0.3}
	low, high := a.at(*spot.hot.VsStockLow, spot.heat), a.at(*spot.hot.VsStockHigh, spot.heat)
	if high.X > low.X {
		a.sheet.Line(low.X, p.Y, high.X, p.Y, pen)
		a.sheet.Line(low.X, p.Y-0.8, low.X, p.Y+0.8, pen)
		a.sheet.Line(high.X, p.Y-0.8, high.X, p.Y+0.8, pen)
	}
	outline := draw.Pen{Thick: 0.4}
	switch {
	case spot.pattern == nil:
		a.sheet.Mark(draw.Cross, p.X, p.Y, 3, draw.White, outline)
	case spot.stock:
		a.sheet.Mark(draw.Square, p.X, p.Y, patternSize(*spot.pattern), draw.Grey(0.6).See(0.4), outline)
	default:
		a.sheet.Mark(draw.Circle, p.X, p.Y, patternSize(*spot.pattern), draw.Sky.Tint(0.45).See(0.35), outline)
	}
}

// nameSpots writes the short names on the spots, or beside them where another
// name is in the way.
func nameSpots(a axes, spots []heatSpot) {
	var taken []draw.Point
	free := func(p draw.Point) bool {
		for _, t := range taken {
			if math.Abs(t.X-p.X) < 4.5 && math.Abs(t.Y-p.Y) < 4.2 {
				return false
			}
		}
		return true
	}
	for _, spot := range spots {
		p := a.at(*spot.hot.VsStock, spot.heat)
		at := p
	search:
		for _, far := range []float64{0, 7, 11, 15, 20} {
			for i := range 8 {
				sin, cos := math.Sincos(math.Pi / 4 * float64(i))
				if try := (draw.Point{X: p.X + far*cos, Y: p.Y - far*sin}); a.holds(try) && free(try) {
					at = try
					break search
				}
			}
		}
		taken = append(taken, at)
		if at != p {
			a.sheet.Line(p.X, p.Y, at.X, at.Y, draw.Pen{Thick: 0.18})
		}
		a.sheet.Label(at.X, at.Y, spot.short, typeSmall)
	}
}

func heatLegend(s *draw.Sheet, drawn []heatSpot, missing []string, more int) {
	y, room := 26.0, pictureWide-130-4
	for _, spot := range drawn {
		s.Text(131, y, fitText(spot.short+" "+spot.name, room, typePlain), draw.Type{Size: typePlain})
		y += 5
	}
	for _, name := range missing {
		s.Text(131, y, fitText(name+": no hot light", room, typePlain), draw.Type{Size: typePlain, Ink: draw.Grey(0.35)})
		y += 5
	}
	if more > 0 {
		s.Text(131, y, fmt.Sprintf("%d more not drawn", more), draw.Type{Size: typePlain, Ink: draw.Grey(0.35)})
	}
	y = warmHigh - 8
	s.Text(19, y+1, "pattern score by size:", draw.Type{Size: typeSmall})
	x := 54.0
	for _, score := range []float64{25, 50, 75, 100} {
		s.Mark(draw.Circle, x, y, patternSize(score), draw.Sky.Tint(0.45), draw.Pen{Thick: 0.4})
		s.Text(x+7, y+1, whole(score), draw.Type{Size: typeSmall})
		x += 17
	}
	s.Mark(draw.Cross, x, y, 3, draw.White, draw.Pen{Thick: 0.4})
	s.Text(x+3, y+1, "not measured", draw.Type{Size: typeSmall})
	s.Mark(draw.Square, x+29, y, 6, draw.Grey(0.75), draw.Pen{Thick: 0.4})
	s.Text(x+34, y+1, "stock", draw.Type{Size: typeSmall})
}

func heatLine(drawn []heatSpot, missing []string, more int, n recommend.Need) string {
	var parts []string
	for _, spot := range drawn {
		pattern := "pattern not measured"
		if spot.pattern != nil {
			pattern = "pattern " + whole(*spot.pattern)
		}
		parts = append(parts, fmt.Sprintf("%s %s %s times stock, heat %s, %s", spot.short, spot.name, two(*spot.hot.VsStock), two(spot.heat), pattern))
	}
	text := fmt.Sprintf("Light after %s min against heat, pattern as size: %s.", significant(n.TripMin, 3), strings.Join(parts, "; "))
	if len(missing) > 0 {
		text += " Not drawn, no hot light on record: " + strings.Join(missing, ", ") + "."
	}
	if more > 0 {
		text += fmt.Sprintf(" %d more not drawn.", more)
	}
	return text
}

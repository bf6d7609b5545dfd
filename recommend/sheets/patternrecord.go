package sheets

import (
	"math"
	"slices"

	"stillbright/data"
	"stillbright/recommend/beam"
)

// PatternRecordOf is a pattern as it goes into a record: parts, the figures that
// decisions use, and where candela are known a thinned list of intensities.
func PatternRecordOf(s *PatternSheet, marks *beam.Marks, points []data.BeamPoint) data.PatternRecord {
	r := data.PatternRecord{Method: s.Method}
	if marks != nil {
		r.Marks = &data.Marks{Cutoff: marks.Cutoff, HotSpot: marks.HotSpot, Stray: marks.Stray, Dark: marks.Dark, Width: marks.Width}
		return r
	}
	r.StrayVsStock, r.OverLimit, r.WidthDeg = rounded(s.Stray.VsStock, 4), s.Stray.OverLimit, rounded(s.WidthDeg, 4)
	r.StrayLow, r.StrayHigh = rounded(s.Stray.VsStockLow, 4), rounded(s.Stray.VsStockHigh, 4)
	r.HotSpotH, r.HotSpotV = hundredth(s.HotSpot.H), hundredth(s.HotSpot.V)
	if p := s.Parts; p != (beam.Parts{}) {
		r.Parts = &data.Parts{Sharpness: rounded(p.Sharpness, 4), HotSpot: rounded(p.HotSpot, 4), Stray: rounded(p.Stray, 4),
			Dark: rounded(p.Dark, 4), Width: rounded(p.Width, 4)}
	}
	if s.Cutoff.GMeasured {
		r.G = rounded(s.Cutoff.G, 4)
	}
	if len(points) > 0 {
		r.Candela = points
		if v := s.Cutoff.V; v != nil && *v >= -6 && *v <= 2 { // the range of the record's field
			r.CutoffV = hundredth(v)
		}
	}
	if s.WidthLeast {
		r.Notes = append(r.Notes, "The beam runs on past the edge of the measurement: its width is at least this.")
	}
	return r
}

// hundredth and rounded keep a record free of digits that nobody measured.
func hundredth(value *float64) *float64 {
	if value == nil {
		return nil
	}
	v := math.Round(*value*100) / 100
	return &v
}

func rounded(value *float64, digits int) *float64 {
	if value == nil {
		return nil
	}
	v := significantly(*value, digits)
	return &v
}

func significantly(value float64, digits int) float64 {
	if value == 0 {
		return 0
	}
	unit := math.Pow(10, float64(digits-1)-math.Floor(math.Log10(math.Abs(value))))
	return math.Round(value*unit) / unit
}

// BeamPointsOf thins a measured beam to the directions that a reach needs: half
// and quarter degrees about the cutoff, whole ones and more away from it, and the
// row and column of the peak. It is empty where candela are not known. The result
// fills rows and columns, but for what was not measured.
func BeamPointsOf(m *beam.Measured, s *PatternSheet) []data.BeamPoint {
	perUnit := 1.0
	if m.Unit == beam.Lux {
		if m.DistanceM <= 0 {
			return nil
		}
		perUnit = m.DistanceM * m.DistanceM
	}
	f := s.Drawing.Bulb
	if f == nil {
		return listedPoints(m, perUnit)
	}
	middle := 0.0
	if s.Cutoff.V != nil {
		middle = *s.Cutoff.V
	}
	columns := lines(f.H0, f.H(f.NH-1), 0, s.HotSpot.H, func(off float64) float64 {
		switch {
		case off < 6:
			return 1
		case off < 16:
			return 2
		}
		return 4
	})
	rows := lines(f.V0, f.V(f.NV-1), middle, s.HotSpot.V, func(off float64) float64 {
		switch {
		case off < 1.25:
			return 0.25
		case off < 3:
			return 0.5
		}
		return 1
	})
	var points []data.BeamPoint
	for _, v := range rows {
		for _, h := range columns {
			ih, iv := int(math.Round((h-f.H0)/f.Step)), int(math.Round((v-f.V0)/f.Step))
			if value := f.Values[iv*f.NH+ih]; value >= 0 {
				points = append(points, data.BeamPoint{
					H: math.Round(f.H(ih)*100) / 100, V: math.Round(f.V(iv)*100) / 100, CD: significantly(value*perUnit, 4)})
			}
		}
	}
	if len(points) < 3 {
		return nil
	}
	return points
}

// lines walks from the middle outward both ways with steps that grow, and adds
// the line of the peak. All lie on the field.
func lines(low, high, middle float64, peak *float64, step func(off float64) float64) []float64 {
	middle = min(max(middle, low), high)
	list := []float64{middle}
	for off := step(0); middle+off <= high || middle-off >= low; off += step(off) {
		if middle+off <= high {
			list = append(list, middle+off)
		}
		if middle-off >= low {
			list = append(list, middle-off)
		}
	}
	if peak != nil && *peak > low && *peak < high {
		list = append(list, *peak)
	}
	slices.Sort(list)
	const nearest = 0.12 // two lines nearer than a cell of the field would be one
	return slices.CompactFunc(list, func(a, b float64) bool { return math.Abs(b-a) < nearest })
}

// listedPoints are the intensities of a list of points, as many as were measured.
func listedPoints(m *beam.Measured, perUnit float64) []data.BeamPoint {
	const most = 2000 // more makes a record nobody can read
	if len(m.Points) < 3 || len(m.Points) > most || m.Wall {
		return nil
	}
	points := make([]data.BeamPoint, len(m.Points))
	for i, p := range m.Points {
		points[i] = data.BeamPoint{H: p.H, V: p.V, CD: significantly(p.Value*perUnit, 5)}
	}
	return points
}

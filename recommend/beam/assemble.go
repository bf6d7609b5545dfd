package beam

import (
	"fmt"
	"image"
	"math"
)

// Survey says where the wall lies in the pictures.
type Survey struct {
	// Picture shows all six marks, in the light of the room; nil: they are looked for
	// in the stock pictures.
	Picture image.Image
	Plan    MarkPlan
}

// Assemble makes a PhotoInput of brackets and marks. tone is what is known of the
// camera's curve: with it, and one picture of each beam, they are taken as they are.
func Assemble(b Brackets, s Survey, tone string) (PhotoInput, error) {
	in, err := Gather(b, tone)
	if err != nil {
		return in, err
	}
	where := s.Picture
	if where == nil {
		where = in.Stock
	}
	if where.Bounds().Size() != in.Stock.Bounds().Size() {
		return in, fmt.Errorf("the photo of the marks has another size than the others, %v and %v: one camera, one place", where.Bounds().Size(), in.Stock.Bounds().Size())
	}
	g, marks, err := Locate(where, s.Plan)
	if err != nil {
		return in, err
	}
	plan := s.Plan
	in.Plan, in.Marks = &plan, marks
	in.BulbPlace, in.StockPlace = g, g
	in.PxPerDeg = g.perDegree()
	in.AxisX, in.AxisY = g.pixelAt(0, 0)
	for _, one := range []struct {
		name  string
		plane image.Image
		to    **Geometry
	}{{"stock", in.Stock, &in.StockPlace}, {"bulb", in.Bulb, &in.BulbPlace}} {
		moved, seen := Follow(one.plane, g, plan)
		*one.to = moved
		if far := math.Hypot(moved.dx, moved.dy) / in.PxPerDeg; far > 0.05 {
			in.Said = append(in.Said, fmt.Sprintf("the phone had moved by %.2f degrees in the %s pictures: corrected by %d marks", far, one.name, seen))
		}
		if seen < 2 {
			in.Unfollowed = append(in.Unfollowed, one.name)
		}
	}
	return in, nil
}

// Gather makes a PhotoInput of brackets; where the wall lies is still to be said.
func Gather(b Brackets, tone string) (PhotoInput, error) {
	var in PhotoInput
	if tone != "" && len(b.Bulb) == 1 && len(b.Stock) == 1 && len(b.Off) <= 1 {
		in.Bulb, in.Stock, in.Tone = b.Bulb[0].Image, b.Stock[0].Image, tone
		if len(b.Off) == 1 {
			in.Off = b.Off[0].Image
		}
	} else {
		m, err := Merge(b)
		if err != nil {
			return in, err
		}
		in.Merged, in.Bulb, in.Stock = &m, m.Bulb, m.Stock
		if m.Off != nil {
			in.Off = m.Off
		}
	}
	in.BulbExposure, in.StockExposure = b.Bulb[0].Exposure, b.Stock[0].Exposure
	return in, nil
}

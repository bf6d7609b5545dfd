package beam

import (
	"image"
	"image/color"
	"math/rand/v2"
	"testing"
)

// The outline that is drawn is the region that is judged, on the side where it lies;
// a white spot is shown where it was.
func TestDrawingShowsWhatWasJudged(t *testing.T) {
	st, r := newStudio(), rand.New(rand.NewPCG(20, 11))
	v := newView(st, r, 24)
	bulb := bulbFor(r, v.stock)
	v.in.Bulb = st.shootBeam(&bulb, v.c)
	lit := v.in.Bulb.(*image.Gray)
	x, y := int(v.c.ax+6*24), int(v.c.ay-3*24) // 6 degrees right, 3 up, but for the tilt
	for dy := range 4 {
		for dx := range 4 {
			lit.SetGray(x+dx, y+dy, color.Gray{255})
		}
	}
	p, d, err := FromPhoto(v.in, Options{Beam: Low, Weights: DefaultWeights()})
	if err != nil {
		t.Fatal(err)
	}
	var outline [][2]float64
	for _, c := range d.Region {
		outline = append(outline, [2]float64{c.H, c.V})
	}
	for i := range d.Bulb.Values {
		h, v := d.Bulb.H(i%d.Bulb.NH), d.Bulb.V(i/d.Bulb.NH)
		if inPolygon(outline, h, v) != strayRegion(Low, *p.Cutoff.StockV, h, v) {
			t.Fatalf("%.1f, %.1f is judged or drawn, not both", h, v)
		}
	}
	if len(d.BulbWhite) == 0 || len(d.StockWhite) != 0 {
		t.Errorf("%d white cells of the bulb, %d of stock", len(d.BulbWhite), len(d.StockWhite))
	}
	for _, cell := range d.BulbWhite {
		if cell.H < 5.3 || cell.H > 6.8 || cell.V < 2.2 || cell.V > 3.8 {
			t.Errorf("white at %.1f, %.1f; it is near 6, 3", cell.H, cell.V)
		}
	}
}

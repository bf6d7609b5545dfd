package beam

import (
	"image"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

func TestPhotosThatCannotBeMeasuredAreRefused(t *testing.T) {
	st, r := newStudio(), rand.New(rand.NewPCG(61, 1))
	o := Options{Beam: Low, Weights: DefaultWeights()}
	stock := cleanBeam(r)
	bulb := faulty(r, stock)
	shot := func(change func(c *camera)) PhotoInput {
		c := plainCamera()
		change(&c)
		return pairOf(st, &bulb, &stock, c)
	}
	good := shot(func(*camera) {})
	for name, c := range map[string]struct {
		in   PhotoInput
		want string
	}{
		"clipped":  {shot(func(c *camera) { c.exposure = 1.6 }), "clipped"},
		"too dark": {shot(func(c *camera) { c.exposure = 0.02 }), "expose both longer"},
		"lit room": {shot(func(c *camera) { c.room, c.exposure = 0.3, 0.25 }), "no contrast"},
		"mirrored": {func() PhotoInput {
			s, b := stock, bulb
			s.rise, b.rise = 0.25, 0.25
			c := plainCamera()
			c.mirror, c.tilt, c.ax = true, 0, float64(c.w-1)-c.ax
			in := pairOf(st, &b, &s, c)
			in.AxisX = float64(c.w-1) - c.ax
			return in
		}(), "mirrored"},
		"upside down": {func() PhotoInput {
			in := good
			in.Bulb, in.Stock = Turned{good.Bulb, 3}, Turned{good.Stock, 3}
			in.AxisX, in.AxisY = 749-in.AxisX, 359-in.AxisY
			return in
		}(), "upside down"},
		"sideways": {func() PhotoInput {
			in := good
			in.Bulb, in.Stock = Turned{good.Bulb, 6}, Turned{good.Stock, 6}
			in.AxisX, in.AxisY = 359-in.AxisY, in.AxisX
			return in
		}(), "turned by a quarter"},
		"white under 253": {shot(func(c *camera) { c.exposure, c.tone = 1.6, func(e float64) float64 { return min(e, 0.83) } }), "clipped"},
		"tone mapped":     {toneMapped(good), "tone mapping"},
		"sizes": {func() PhotoInput {
			in := good
			in.Bulb = image.NewGray(image.Rect(0, 0, 700, 360))
			return in
		}(), "different sizes"},
		"black": {func() PhotoInput {
			in := good
			in.Bulb = image.NewGray(image.Rect(0, 0, 750, 360))
			return in
		}(), "expose both longer"},
		"no stock": {PhotoInput{Bulb: good.Bulb, PxPerDeg: 30}, "two photos"},
		"scale":    {func() PhotoInput { in := good; in.PxPerDeg = math.NaN(); return in }(), "pixels per degree"},
		"span": {func() PhotoInput {
			in := good
			in.Bulb, in.Stock = image.NewGray(image.Rect(0, 0, 2000, 90)), image.NewGray(image.Rect(0, 0, 2000, 90))
			in.PxPerDeg = 10
			return in
		}(), "would span"},
		"axis":     {func() PhotoInput { in := good; in.AxisX = 5000; return in }(), "axis"},
		"blur":     {func() PhotoInput { in := good; in.BlurPx = ptr(-1.0); return in }(), "blur"},
		"one long": {func() PhotoInput { in := good; in.LongBulb = good.Bulb; return in }(), "of both beams"},
		"exposures": {func() PhotoInput {
			in := good
			in.BulbExposure, in.StockExposure = &Exposure{Seconds: 0.1, FNumber: 8, ISO: 100}, &Exposure{Seconds: 0.8, FNumber: 8, ISO: 100}
			return in
		}(), "factor of 8"},
		"processed": {func() PhotoInput {
			in := good
			e := Exposure{Seconds: 0.1, FNumber: 8, ISO: 100, Custom: true}
			in.BulbExposure, in.StockExposure = &e, &e
			return in
		}(), "special processing"},
	} {
		_, _, err := FromPhoto(c.in, o)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
	}
	if _, _, err := FromPhoto(good, o); err != nil {
		t.Errorf("the sound pair: %v", err)
	}
	over := good
	over.Bulb = Turned{good.Bulb, 3}
	if p, _, err := FromPhoto(over, o); err == nil && p.Stray.VsStock != nil {
		t.Errorf("one picture upside down: stray light %.2f times stock", *p.Stray.VsStock)
	}
	for _, c := range []image.Config{{Width: 30, Height: 4000}, {Width: 100000, Height: 100000}, {Width: 0, Height: 0}, {Width: math.MaxInt, Height: math.MaxInt}} {
		if CheckSize(c) == nil {
			t.Errorf("%d x %d was let through", c.Width, c.Height)
		}
	}
	if err := CheckSize(image.Config{Width: 4000, Height: 3000}); err != nil {
		t.Error(err)
	}
}

// toneMapped gives both pictures the look of local tone mapping: light compressed
// by its surround, which darkens the dark side of every edge.
func toneMapped(in PhotoInput) PhotoInput {
	one := func(g *image.Gray) *image.Gray {
		w, h := g.Bounds().Dx(), g.Bounds().Dy()
		light := make([]float32, w*h)
		for i, v := range g.Pix {
			light[i] = float32(linear(float64(v) / 255))
		}
		round := blurred(light, w, h, 45)
		out := image.NewGray(g.Bounds())
		st := newStudio()
		for i, e := range light {
			v := math.Pow(float64(e), 0.75) * math.Pow(float64(round[i])+0.004, -0.35) * 0.3
			out.Pix[i] = st.code[int(math.Max(0, math.Min(0.95, v))*(1<<14))]
		}
		return out
	}
	in.Bulb, in.Stock = one(in.Bulb.(*image.Gray)), one(in.Stock.(*image.Gray))
	return in
}

// A longer exposure gives the dark part; one that does not follow the first is refused.
func TestLongerExposure(t *testing.T) {
	st, r := newStudio(), rand.New(rand.NewPCG(62, 1))
	o := Options{Beam: Low, Weights: DefaultWeights()}
	stock := cleanBeam(r)
	stock.veil, stock.leak = 0.002, 0.001
	bulb := stock
	bulb.veil = 0.0035
	c := plainCamera()
	c.exposure, c.deepBlackCrush = 0.5, 0.0008
	in := pairOf(st, &bulb, &stock, c)
	p := mustPhoto(t, in, o)
	if p.Stray.VsStock != nil {
		t.Errorf("crushed blacks gave a ratio of %.2f", *p.Stray.VsStock)
	}
	if p.Parts.Stray != nil || !strings.Contains(strings.Join(p.Notes, "\n"), "longer exposure") {
		t.Errorf("no word of the longer exposure: %v", p.Notes)
	}
	long := c
	long.exposure, long.seed = 4*c.exposure, 77
	longs := pairOf(st, &bulb, &stock, long)
	in.LongBulb, in.LongStock = longs.Bulb, longs.Stock
	p = mustPhoto(t, in, o)
	want := strayTruth(&bulb, *p.Cutoff.StockV) / strayTruth(&stock, *p.Cutoff.StockV)
	if p.Stray.VsStock == nil || math.Abs(*p.Stray.VsStock/want-1) > 0.1 {
		t.Errorf("stray light over stock %v, true %.3f", deref(p.Stray.VsStock), want)
	}
	without := in
	without.LongBulb, without.LongStock = nil, nil
	less := mustPhoto(t, without, o)
	for name, change := range map[string]func(a, b *camera){
		"bent tones":   func(a, b *camera) { a.tone = func(e float64) float64 { return math.Pow(e, 0.8) }; b.tone = a.tone },
		"not longer":   func(a, b *camera) { a.exposure, b.exposure = 0.5, 0.5 },
		"not alike":    func(a, b *camera) { b.exposure *= 1.3 },
		"far too long": func(a, b *camera) { a.exposure, b.exposure = 300, 300 },
	} {
		a, b := long, long
		change(&a, &b)
		bad := in
		bad.LongBulb, bad.LongStock = st.shootBeam(&bulb, a), st.shootBeam(&stock, b)
		// Who gives more never gets less: the long pair is left out, and that is said.
		p := mustPhoto(t, bad, o)
		if !strings.Contains(strings.Join(p.Notes, "\n"), "left out") {
			t.Errorf("%s: taken without a word: %v", name, p.Notes)
		}
		if p.Score != less.Score || p.Low != less.Low || p.High != less.High {
			t.Errorf("%s: %.2f in %.2f..%.2f, without the long pair %.2f in %.2f..%.2f", name, p.Score, p.Low, p.High, less.Score, less.Low, less.High)
		}
	}
}

// strayTruth integrates the formula over zone III laid from a cutoff.
func strayTruth(s *synth, cutoff float64) (sum float64) {
	for h := -8.0; h <= 8; h += 0.05 {
		for v := 0.0; v <= 4; v += 0.05 {
			if inPolygon(zoneThree[:], h, v) {
				sum += s.at(h, v+cutoff+strayBase)
			}
		}
	}
	return sum
}

// A lamp-off photo takes the light of the room away; without it the band widens.
func TestRoomLight(t *testing.T) {
	st, r := newStudio(), rand.New(rand.NewPCG(63, 1))
	o := Options{Beam: Low, Weights: DefaultWeights()}
	stock := cleanBeam(r)
	bulb := stock
	bulb.veil *= 2.2
	c := plainCamera()
	c.room = 0.006
	in := pairOf(st, &bulb, &stock, c)
	p := mustPhoto(t, in, o)
	truth := strayTruth(&bulb, *p.Cutoff.StockV) / strayTruth(&stock, *p.Cutoff.StockV)
	if r, high := *p.Stray.VsStock, *p.Stray.VsStockHigh; r > truth || high < truth {
		t.Errorf("in a lit room %.2f, at most %.2f: the true %.2f lies outside", r, high, truth)
	}
	dark := c
	dark.seed, dark.exposure = 88, 0
	in.Off = st.shootBeam(&stock, dark)
	q := mustPhoto(t, in, o)
	if math.Abs(*q.Stray.VsStock/truth-1) > 0.1 {
		t.Errorf("with the lamp-off photo %.2f, true %.2f", *q.Stray.VsStock, truth)
	}
	if math.Abs(deref(q.HotSpot.V)-deref(p.HotSpot.V)) > 0.05 {
		t.Errorf("the hot spot moved from %g to %g", deref(p.HotSpot.V), deref(q.HotSpot.V))
	}
}

// Recorded exposures that differ a little are brought together.
func TestUnequalExposureIsAllowedFor(t *testing.T) {
	st, r := newStudio(), rand.New(rand.NewPCG(64, 1))
	o := Options{Beam: Low, Weights: DefaultWeights()}
	stock := cleanBeam(r)
	bulb := faulty(r, stock)
	c := plainCamera()
	want := mustPhoto(t, pairOf(st, &bulb, &stock, c), o)
	in := pairOf(st, &bulb, &stock, c)
	shorter := c
	shorter.exposure /= 2
	in.Bulb = st.shootBeam(&bulb, shorter)
	// One beam at two exposures that no camera record tells of is at least said.
	blind := pairOf(st, &stock, &stock, c)
	blind.Bulb = st.shootBeam(&stock, shorter)
	blind.SameExposure = true
	if notes := strings.Join(mustPhoto(t, blind, o).Notes, "\n"); !strings.Contains(notes, "0.50 times the stock photo everywhere") {
		t.Errorf("not said: %s", notes)
	}
	if notes := strings.Join(want.Notes, "\n"); strings.Contains(notes, "everywhere") {
		t.Errorf("said of two beams: %s", notes)
	}
	in.BulbExposure, in.StockExposure = &Exposure{Seconds: 0.05, FNumber: 8, ISO: 100}, &Exposure{Seconds: 0.1, FNumber: 8, ISO: 100}
	p := mustPhoto(t, in, o)
	if math.Abs(*p.HotSpot.VsStock / *want.HotSpot.VsStock - 1) > 0.02 || math.Abs(p.Score-want.Score) > 2 {
		t.Errorf("level %.3f and score %.1f, want %.3f and %.1f", *p.HotSpot.VsStock, p.Score, *want.HotSpot.VsStock, want.Score)
	}
}

// G is not claimed when nothing is known of the blur, nor when too much is.
func TestGIsNotClaimedWithoutItsConditions(t *testing.T) {
	st, r := newStudio(), rand.New(rand.NewPCG(65, 1))
	o := Options{Beam: Low, Weights: DefaultWeights()}
	stock := cleanBeam(r)
	stock.soft = 0.08
	bulb := stock
	c := plainCamera()
	c.blur = 3
	for name, blur := range map[string]*float64{"not stated": nil, "stated": &c.blur} {
		in := pairOf(st, &bulb, &stock, c)
		in.BlurPx = blur
		p := mustPhoto(t, in, o)
		if p.Cutoff.GMeasured || p.Parts.Sharpness != nil || p.Cutoff.GVerdict != GNotMeasurable {
			t.Errorf("%s: G %.3f claimed under a blur of 3 pixels", name, *p.Cutoff.G)
		}
		if p.High-p.Low < 20 {
			t.Errorf("%s: the band %.1f..%.1f hides an unmeasured part", name, p.Low, p.High)
		}
	}
	// facts/photometry.md 1.4: a dome of 30 mm at 3 m averages over 0.57 degree.
	wide, err := ApertureOf(30, 3)
	if err != nil || !near(wide, 0.57, 0.005) {
		t.Errorf("30 mm at 3 m: %.3f degrees (%v)", wide, err)
	}
	g := gridOf(&bulb, 30000)
	for _, aperture := range []*float64{&wide, nil} {
		p, _, err := FromGrid(GridInput{Bulb: g, ApertureDeg: aperture}, o)
		if err != nil || p.Cutoff.GMeasured || p.Cutoff.G == nil {
			t.Errorf("aperture %v: %+v, %v", aperture, p.Cutoff, err)
		}
	}
}

// G under, inside and over its limits is told apart; near them it is uncertain.
func TestGVerdicts(t *testing.T) {
	o := Options{Beam: Low, Weights: DefaultWeights()}
	seen := map[string]bool{}
	for soft := 0.04; soft < 0.5; soft *= 1.09 {
		b := cleanBeam(rand.New(rand.NewPCG(66, 1)))
		b.soft, b.leak, b.veil = soft, 0.005, 0.001
		aperture := 0.03
		p, _, err := FromGrid(GridInput{Bulb: gridOf(&b, 30000), ApertureDeg: &aperture}, o)
		if err != nil {
			t.Fatal(err)
		}
		v0, e := b.scan(-2.5, 0.005)
		g, _, _ := Sharpness(v0, 0.005, e, 0.005)
		want := map[bool]string{true: GInside}[g > 0.13 && g < 0.40]
		if want == "" {
			want = map[bool]string{true: GUnder, false: GOver}[g <= 0.13]
		}
		seen[p.Cutoff.GVerdict] = true
		switch p.Cutoff.GVerdict {
		case want:
		case GUncertain:
			if math.Abs(g/0.13-1) > 0.2 && math.Abs(g/0.40-1) > 0.2 {
				t.Errorf("soft %.3f: G %.4f is far from the limits but uncertain", soft, g)
			}
		default:
			t.Errorf("soft %.3f: true G %.4f, read %.4f: %s, want %s", soft, g, *p.Cutoff.G, p.Cutoff.GVerdict, want)
		}
	}
	for _, v := range []string{GUnder, GInside, GOver, GUncertain} {
		if !seen[v] {
			t.Errorf("%s never came up", v)
		}
	}
}

// Whatever a picture holds, the answer is an error or finite figures.
func FuzzFromPhoto(f *testing.F) {
	f.Add([]byte{0, 10, 200, 100, 3}, 20.0, 40.0, 30.0, uint8(0))
	f.Add([]byte{255, 0, 255, 0}, 9.0, 10.0, 60.0, uint8(7))
	f.Fuzz(func(t *testing.T, pix []byte, scale, x, y float64, how uint8) {
		if len(pix) == 0 {
			return
		}
		bulb, stock := image.NewGray(image.Rect(0, 0, 120, 80)), image.NewGray(image.Rect(0, 0, 120, 80))
		for i := range bulb.Pix {
			// A bright middle, so that many pictures pass the checks, under the given bytes.
			d := math.Hypot(float64(i%120-60)/30, float64(i/120-45)/12)
			base := 220 * math.Exp(-d*d)
			bulb.Pix[i] = uint8(min(250, base+float64(pix[i%len(pix)]%32)))
			stock.Pix[i] = uint8(min(250, base+float64(pix[(i*7)%len(pix)]%16)))
		}
		o := Options{Beam: []string{Low, High, Fog}[how%3], Cutoff: []string{CutoffUN, CutoffVOR}[how/3%2], Traffic: []string{"right", "left"}[how/6%2], Weights: DefaultWeights()}
		p, d, err := FromPhoto(PhotoInput{Bulb: bulb, Stock: stock, PxPerDeg: scale, AxisX: x, AxisY: y, BlurPx: ptr(0.5)}, o)
		if err != nil {
			return
		}
		if !(p.Score >= 0 && p.Low <= p.Score && p.Score <= p.High && p.High <= 100) || math.IsNaN(deref(p.HotSpot.H)+deref(p.HotSpot.V)+deref(p.Cutoff.V)+deref(p.WidthDeg)+deref(p.Stray.VsStock)) {
			t.Fatalf("%+v", p)
		}
		for _, v := range d.Bulb.Values {
			if math.IsNaN(v) || math.IsInf(v, 0) || v < Missing {
				t.Fatalf("value %g", v)
			}
		}
	})
}

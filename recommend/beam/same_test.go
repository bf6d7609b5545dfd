package beam

import (
	"image"
	"math"
	"math/rand/v2"
	"testing"
)

// pairOf shoots a bulb and its stock beam with one camera.
func pairOf(st *studio, bulb, stock *synth, c camera) PhotoInput {
	blur := c.blur
	in := PhotoInput{PxPerDeg: c.perDeg, AxisX: c.ax, AxisY: c.ay, BlurPx: &blur, SameExposure: true, Tone: ToneSRGB}
	in.Stock = st.shootBeam(stock, c)
	c.seed++
	in.Bulb = st.shootBeam(bulb, c)
	return in
}

func plainCamera() camera {
	return camera{perDeg: 30, w: 750, h: 360, ax: 374, ay: 175, tilt: 1, blur: 0.5, loss: 2, noise: 0.006, seed: 21, exposure: 0.5}
}

// faulty is a bulb with everything a bit wrong, so that no part sits at an end.
func faulty(r *rand.Rand, stock synth) synth {
	b := bulbFor(r, stock)
	b.soft = stock.soft * 1.3
	b.veil = stock.veil * 1.8
	b.hotH = stock.hotH - 2.5
	b.floodSH *= 0.85
	b.holes = []blob{{3, b.cut - 1.8, 0.7, 0.7}}
	return b
}

func mustPhoto(t *testing.T, in PhotoInput, o Options) Pattern {
	t.Helper()
	p, _, err := FromPhoto(in, o)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func within(t *testing.T, what string, a, b Pattern) {
	t.Helper()
	if b.Score < a.Low || b.Score > a.High || a.Score < b.Low || a.Score > b.High {
		t.Errorf("%s: %.2f in %.2f..%.2f %+v against %.2f in %.2f..%.2f %+v", what, a.Score, a.Low, a.High, partList(a), b.Score, b.Low, b.High, partList(b))
	}
}

func TestTheSameBeamScoresTheSame(t *testing.T) {
	st, r := newStudio(), rand.New(rand.NewPCG(31, 1))
	o := Options{Beam: Low, Weights: DefaultWeights()}
	for n := range 4 {
		stock := cleanBeam(r)
		bulb := faulty(r, stock)
		c := plainCamera()
		plain := mustPhoto(t, pairOf(st, &bulb, &stock, c), o)

		brighter := c
		brighter.exposure *= 1.3
		p := mustPhoto(t, pairOf(st, &bulb, &stock, brighter), o)
		within(t, "both 30 % brighter", plain, p)
		if math.Abs(p.Score-plain.Score) > 2 {
			t.Errorf("%d: both 30 %% brighter moves the score from %.2f to %.2f", n, plain.Score, p.Score)
		}

		mirror := c
		mirror.mirror = true
		in := pairOf(st, &bulb, &stock, mirror)
		in.AxisX = float64(c.w-1) - c.ax
		left := o
		left.Traffic = "left"
		p = mustPhoto(t, in, left)
		within(t, "mirrored", plain, p)
		if math.Abs(p.Score-plain.Score) > 1 || math.Abs(deref(p.HotSpot.H)+deref(plain.HotSpot.H)) > 0.05 || len(p.Dark) != len(plain.Dark) ||
			math.Abs(p.Dark[0].H+plain.Dark[0].H) > 0.1 || *p.Cutoff.ColumnH != 2.5 {
			t.Errorf("%d: mirrored: %.2f against %.2f, hot spot %.3f against %.3f", n, p.Score, plain.Score, deref(p.HotSpot.H), deref(plain.HotSpot.H))
		}

		aperture := 0.05
		stockGrid := gridOf(&stock, 30000)
		g, _, err := FromGrid(GridInput{Bulb: gridOf(&bulb, 30000), Stock: &stockGrid, ApertureDeg: &aperture}, o)
		if err != nil {
			t.Fatal(err)
		}
		within(t, "grid against photo", plain, g)

		same := mustPhoto(t, pairOf(st, &stock, &stock, c), o)
		if same.Parts.Sharpness != nil && *same.Parts.Sharpness > 0.99 && same.Score < 95 {
			t.Errorf("%d: stock against itself scores %.1f %+v", n, same.Score, partList(same))
		}
	}
}

// A grid in lux on a wall, in candela on a sphere, in any order, gives one score.
func TestGridsOfOneBeamAgree(t *testing.T) {
	r := rand.New(rand.NewPCG(41, 1))
	o := Options{Beam: Low, Weights: DefaultWeights()}
	stock := cleanBeam(r)
	bulb := faulty(r, stock)
	aperture := 0.05
	stockGrid := gridOf(&stock, 30000)
	sphere, drawing, err := FromGrid(GridInput{Bulb: gridOf(&bulb, 30000), Stock: &stockGrid, ApertureDeg: &aperture}, o)
	if err != nil {
		t.Fatal(err)
	}
	const d = 10.0
	wall := func(s *synth) Measured {
		m := Measured{Unit: Lux, DistanceM: d, Wall: true, Grid: &Grid{Wall: true}}
		for x := -3.2; x <= 3.2; x += 0.08 {
			m.Grid.X = append(m.Grid.X, x)
		}
		for y := -1.1; y <= 1.25; y += 0.009 {
			m.Grid.Y = append(m.Grid.Y, y)
		}
		for _, y := range m.Grid.Y {
			for _, x := range m.Grid.X {
				h, v := math.Atan(x/d)*180/math.Pi, math.Atan(y/math.Hypot(d, x))*180/math.Pi
				// E = I cos^3 / d^2 on a flat wall.
				e := 30000 * s.at(h, v) / (d * d) / math.Pow(1+(x*x+y*y)/(d*d), 1.5)
				m.Grid.Values = append(m.Grid.Values, e)
				m.Points = append(m.Points, Point{h, v, e})
			}
		}
		return m
	}
	onWall := wall(&stock)
	p, _, err := FromGrid(GridInput{Bulb: wall(&bulb), Stock: &onWall, ApertureDeg: &aperture}, o)
	if err != nil {
		t.Fatal(err)
	}
	within(t, "wall against sphere", sphere, p)
	if math.Abs(p.Score-sphere.Score) > 2 || !near(*p.HotSpot.Candela / *sphere.HotSpot.Candela, 1, 0.01) {
		t.Errorf("wall %.2f, %.0f cd, against sphere %.2f, %.0f cd", p.Score, *p.HotSpot.Candela, sphere.Score, *sphere.HotSpot.Candela)
	}
	if got, want := *p.HotSpot.Lux, *sphere.HotSpot.Candela/100; !near(got/want, 1, 0.01) {
		t.Errorf("%.2f lux at 10 m, want %.2f", got, want)
	}
	if drawing.Bulb == nil || drawing.Stock == nil || len(drawing.Cutoff) < 10 || drawing.Bulb.NH != drawing.Stock.NH {
		t.Errorf("the drawing lacks parts: %d cutoff points", len(drawing.Cutoff))
	}
}

// The kind of decoded picture does not matter.
func TestPictureKinds(t *testing.T) {
	st, r := newStudio(), rand.New(rand.NewPCG(51, 1))
	o := Options{Beam: Low, Weights: DefaultWeights()}
	stock := cleanBeam(r)
	bulb := faulty(r, stock)
	in := pairOf(st, &bulb, &stock, plainCamera())
	want := mustPhoto(t, in, o)
	for name, convert := range map[string]func(g *image.Gray) image.Image{
		"rgba": func(g *image.Gray) image.Image {
			out := image.NewRGBA(g.Bounds())
			for i, v := range g.Pix {
				copy(out.Pix[4*i:], []uint8{v, v, v, 255})
			}
			return out
		},
		"nrgba, origin moved": func(g *image.Gray) image.Image {
			out := image.NewNRGBA(g.Bounds().Add(image.Pt(5, -7)))
			for i, v := range g.Pix {
				copy(out.Pix[4*i:], []uint8{v, v, v, 255})
			}
			return out
		},
		"ycbcr": func(g *image.Gray) image.Image {
			out := image.NewYCbCr(g.Bounds(), image.YCbCrSubsampleRatio420)
			copy(out.Y, g.Pix)
			for i := range out.Cb {
				out.Cb[i], out.Cr[i] = 128, 128
			}
			return out
		},
		"16 bit": func(g *image.Gray) image.Image {
			out := image.NewGray16(g.Bounds())
			for i, v := range g.Pix {
				out.Pix[2*i], out.Pix[2*i+1] = v, v
			}
			return out
		},
	} {
		other := in
		other.Bulb, other.Stock = convert(in.Bulb.(*image.Gray)), convert(in.Stock.(*image.Gray))
		if p := mustPhoto(t, other, o); math.Abs(p.Score-want.Score) > 0.05 {
			t.Errorf("%s: %.3f, want %.3f", name, p.Score, want.Score)
		}
	}
}

// Fog and VOR lamps: a level cutoff on both sides, judged and levelled by their own columns.
func TestOtherLampsOnPhotos(t *testing.T) {
	st := newStudio()
	for seed := range uint64(3) {
		stock := cleanBeamOf(90 + seed)
		stock.fog, stock.hotH = true, 0.3
		for name, o := range map[string]Options{
			"fog":      {Beam: Fog, Weights: DefaultWeights()},
			"vor":      {Beam: Low, Cutoff: CutoffVOR, Weights: DefaultWeights()},
			"vor left": {Beam: Low, Cutoff: CutoffVOR, Traffic: "left", Weights: DefaultWeights()},
		} {
			c := plainCamera()
			c.tilt = 2 - 2*float64(seed)
			p := mustPhoto(t, pairOf(st, &stock, &stock, c), o)
			v0, e := stock.scan(*p.Cutoff.ColumnH, 0.005)
			want, err := Inflection(v0, 0.005, e, 0.02)
			if err != nil || math.Abs(deref(p.Cutoff.V)-want) > 0.05 || math.Abs(*p.TiltDeg-c.tilt) > 0.5 {
				t.Errorf("%s: cutoff %.3f, true %.3f; tilt %.2f, true %.2f", name, deref(p.Cutoff.V), want, *p.TiltDeg, c.tilt)
			}
			if p.Parts.Width == nil || p.High < 95 || *p.Parts.Stray < 0.95 || len(p.Dark) > 0 || len(p.Stray.Patches) > 0 {
				t.Errorf("%s: stock against itself %.1f..%.1f %+v", name, p.Score, p.High, partList(p))
			}
		}
	}
}

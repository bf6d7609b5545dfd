package beam

import (
	"image"
	"math"
	"math/rand/v2"
)

// synth is an analytic low or fog beam, intensity over degrees, kerb on the right.
// It shares no code with the program: it is the outside truth of the photo tests.
type synth struct {
	hotH, hotV, hotSH, hotSV float64
	floodV, floodSH, floodSV float64
	flood                    float64 // share of the hot spot
	cut, soft, leak          float64 // place, logistic scale and floor of the cutoff
	rise                     float64 // slope on the kerb side
	veil                     float64 // stray light above, share of the hot spot
	holes, patches           []blob
	level                    float64
	fog, high                bool
}

// blob is a dark hole (depth is the missing share) or a stray patch (depth is its
// level over the hot spot).
type blob struct{ h, v, sigma, depth float64 }

func (b blob) shape(h, v float64) float64 {
	d := ((h-b.h)*(h-b.h) + (v-b.v)*(v-b.v)) / (b.sigma * b.sigma)
	if d > 40 {
		return 0
	}
	return math.Exp(-d / 2)
}

func gauss(x, s float64) float64 { return math.Exp(-x * x / (2 * s * s)) }

func (s *synth) cutoffAt(h float64) float64 {
	if s.fog || h <= 0 {
		return s.cut
	}
	return s.cut + math.Min(s.rise*h, 1.5)
}

func (s *synth) at(h, v float64) float64 {
	body := gauss(h-s.hotH, s.hotSH)*gauss(v-s.hotV, s.hotSV) + s.flood*gauss(h, s.floodSH)*gauss(v-s.floodV, s.floodSV)
	if s.high {
		return s.level * s.holed(body, h, v)
	}
	c := s.cutoffAt(h)
	e := body * (s.leak + (1-s.leak)/(1+math.Exp((v-c)/s.soft)))
	above := math.Max(0, v-c)
	e = s.holed(e, h, v) + s.veil*gauss(h, 12)*math.Exp(-above/4)/(1+math.Exp(-(v-c)/0.3))
	for _, p := range s.patches {
		e += p.depth * p.shape(h, v)
	}
	return s.level * e
}

func (s *synth) holed(e, h, v float64) float64 {
	for _, hole := range s.holes {
		e *= 1 - hole.depth*hole.shape(h, v)
	}
	return e
}

// Truths, straight from the formula.

func (s *synth) hot() (h, v float64) {
	h, v = s.hotH, s.hotV
	for step := 0.5; step > 1e-4; step /= 2 {
		for moved := true; moved; {
			moved = false
			for _, d := range [4][2]float64{{step, 0}, {-step, 0}, {0, step}, {0, -step}} {
				if s.at(h+d[0], v+d[1]) > s.at(h, v) {
					h, v, moved = h+d[0], v+d[1], true
				}
			}
		}
	}
	return h, v
}

func (s *synth) scan(h, step float64) (v0 float64, e []float64) {
	for v := s.cut - 1.5; v <= s.cut+1.5; v += step {
		e = append(e, s.at(h, v))
	}
	return s.cut - 1.5, e
}

func (s *synth) width(level, top float64) float64 {
	lit := func(h float64) bool {
		for v := -8.0; v <= top; v += 0.05 {
			if s.at(h, v) >= level {
				return true
			}
		}
		return false
	}
	edgeOf := func(sign float64) float64 {
		in, out := 0.0, 30.0
		for out-in > 0.002 {
			if m := (in + out) / 2; lit(sign * m) {
				in = m
			} else {
				out = m
			}
		}
		return in
	}
	return edgeOf(1) + edgeOf(-1)
}

// camera is how a beam gets onto a picture.
type camera struct {
	perDeg         float64
	w, h           int
	ax, ay         float64
	tilt           float64 // degrees
	blur           float64 // pixels
	loss           float64 // power of the cosine of the lens's natural loss, 0..4
	noise          float64 // relative shot noise at full scale
	exposure       float64
	room           float64 // linear light of a lit room
	seed           uint64
	mirror         bool
	tone           func(e float64) float64 // nil: linear
	deepBlackCrush float64                 // linear light under which the camera writes 0
}

// angleTable is the beam over angles, so that a picture can look it up.
type angleTable struct {
	h0, v0, dh, dv float64
	nh, nv         int
	e              []float32
}

// tabulate evaluates the formula of at, its factors apart: several exponentials a
// cell would make the tests slow. TestTableIsTheFormula holds the two together.
func (s *synth) tabulate(left, right, down, up float64) *angleTable {
	t := &angleTable{h0: left, v0: down, dh: 0.1, dv: 0.025}
	t.nh, t.nv = int((right-left)/t.dh)+2, int((up-down)/t.dv)+2
	t.e = make([]float32, t.nh*t.nv)
	rows := func(n int, from, step float64, of func(x float64) float64) []float64 {
		out := make([]float64, n)
		for i := range out {
			out[i] = of(from + float64(i)*step)
		}
		return out
	}
	hotH, floodH := rows(t.nh, left, t.dh, func(h float64) float64 { return gauss(h-s.hotH, s.hotSH) }), rows(t.nh, left, t.dh, func(h float64) float64 { return gauss(h, s.floodSH) })
	veilH, cut := rows(t.nh, left, t.dh, func(h float64) float64 { return gauss(h, 12) }), rows(t.nh, left, t.dh, s.cutoffAt)
	hotV, floodV := rows(t.nv, down, t.dv, func(v float64) float64 { return gauss(v-s.hotV, s.hotSV) }), rows(t.nv, down, t.dv, func(v float64) float64 { return s.flood * gauss(v-s.floodV, s.floodSV) })
	const reach, fine = 20.0, 0.0025
	n := int(2*reach/fine) + 2
	pass := rows(n, -reach, fine, func(x float64) float64 { return s.leak + (1-s.leak)/(1+math.Exp(x/s.soft)) })
	veil := rows(n, -reach, fine, func(x float64) float64 { return s.veil * math.Exp(-math.Max(0, x)/4) / (1 + math.Exp(-x/0.3)) })
	for j := range t.nv {
		v := down + float64(j)*t.dv
		for i := range t.nh {
			h := left + float64(i)*t.dh
			e := hotH[i]*hotV[j] + floodH[i]*floodV[j]
			if s.high {
				t.e[j*t.nh+i] = float32(s.level * s.holed(e, h, v))
				continue
			}
			x := max(0, min(float64(n-2), (v-cut[i]+reach)/fine))
			k := int(x)
			f := x - float64(k)
			e = s.holed(e*(pass[k]*(1-f)+pass[k+1]*f), h, v) + veilH[i]*(veil[k]*(1-f)+veil[k+1]*f)
			for _, p := range s.patches {
				e += p.depth * p.shape(h, v)
			}
			t.e[j*t.nh+i] = float32(s.level * e)
		}
	}
	return t
}

// onWall is the light on a flat wall at u right and w up, in units of the distance.
func (t *angleTable) onWall(u, w float64) float32 {
	// Series of the arc tangent and of the cosines; good to 0.001 degree at 15.
	u2 := u * u
	w *= 1 - u2*(0.5-u2*(0.375-u2*0.3125))
	w2 := w * w
	h := u * (1 - u2*(1.0/3-u2*(0.2-u2/7))) * (180 / math.Pi)
	v := w * (1 - w2*(1.0/3-w2*(0.2-w2/7))) * (180 / math.Pi)
	x, y := (h-t.h0)/t.dh, (v-t.v0)/t.dv
	i, j := int(x), int(y)
	if x < 0 || y < 0 || i >= t.nh-1 || j >= t.nv-1 {
		return 0
	}
	fx, fy := float32(x-float64(i)), float32(y-float64(j))
	k := j*t.nh + i
	return (t.e[k]*(1-fx)+t.e[k+1]*fx)*(1-fy) + (t.e[k+t.nh]*(1-fx)+t.e[k+t.nh+1]*fx)*fy
}

// studio holds what every picture needs again.
type studio struct {
	code  []uint8 // sRGB code by linear light
	gauss []float32
	a, b  []float32 // scratch pictures
}

func newStudio() *studio {
	st := &studio{code: make([]uint8, 1<<14+1), gauss: make([]float32, 1<<16)}
	for i := range st.code {
		x := float64(i) / (1 << 14)
		// IEC 61966-2-1, written out again here.
		c := 12.92 * x
		if x > 0.0031308 {
			c = 1.055*math.Pow(x, 1/2.4) - 0.055
		}
		st.code[i] = uint8(math.Round(255 * c))
	}
	r := rand.New(rand.NewPCG(7, 7))
	for i := range st.gauss {
		st.gauss[i] = float32(r.NormFloat64())
	}
	return st
}

// shoot renders a beam on a wall as an 8-bit grey picture.
func (st *studio) shoot(t *angleTable, c camera) *image.Gray {
	if len(st.a) != c.w*c.h {
		st.a, st.b = make([]float32, c.w*c.h), make([]float32, c.w*c.h)
	}
	light := st.a
	sin, cos := math.Sincos(c.tilt * math.Pi / 180)
	scale := c.perDeg * 180 / math.Pi
	cx, cy := float64(c.w-1)/2, float64(c.h-1)/2
	// Lens loss over the angle from the middle of the picture, and the wall's cos^3
	// over the angle from the axis, both by the square of the tangent.
	const fine = 4096
	most := 4 * (cx*cx + cy*cy) / (scale * scale)
	loss, wall := make([]float32, fine), make([]float32, fine)
	for i := range loss {
		r2 := most * (float64(i) + 0.5) / fine
		loss[i], wall[i] = float32(math.Pow(1+r2, -c.loss/2)), float32(math.Pow(1+r2, -1.5))
	}
	for y := range c.h {
		b := (c.ay - float64(y)) / scale
		ry := (float64(y) - cy) * (float64(y) - cy) / (scale * scale)
		row := light[y*c.w : (y+1)*c.w]
		for x := range row {
			px := float64(x)
			if c.mirror {
				px = float64(c.w-1) - px
			}
			a := (px - c.ax) / scale
			r2 := (px-cx)*(px-cx)/(scale*scale) + ry
			e := t.onWall(a*cos+b*sin, b*cos-a*sin) * wall[int((a*a+b*b)/most*fine)]
			row[x] = (e*float32(c.exposure) + float32(c.room)) * loss[int(r2/most*fine)]
		}
	}
	if c.blur > 0 {
		blurInto(light, st.b, light, c.w, c.h, c.blur)
	}
	return st.develop(light, c)
}

func (st *studio) develop(light []float32, c camera) *image.Gray {
	img := image.NewGray(image.Rect(0, 0, c.w, c.h))
	r := rand.New(rand.NewPCG(c.seed, 3))
	at := 0
	for i, e := range light {
		if i%1024 == 0 {
			at = r.IntN(len(st.gauss) - 1024)
		}
		if c.noise > 0 {
			// Shot noise, and read noise of half an 8-bit code near black.
			e += st.gauss[at+i%1024] * (float32(c.noise)*float32(math.Sqrt(float64(e))) + 0.00015)
		}
		if e < float32(c.deepBlackCrush) {
			e = 0
		}
		if c.tone != nil {
			e = float32(c.tone(float64(e)))
		}
		img.Pix[i] = st.code[int(max(0, min(1, e))*(1<<14))]
	}
	return img
}

func blurred(in []float32, w, h int, sigma float64) []float32 {
	mid, out := make([]float32, len(in)), make([]float32, len(in))
	blurInto(in, mid, out, w, h, sigma)
	return out
}

// blurInto blurs in to out by way of mid; in and out may be one.
func blurInto(in, mid, out []float32, w, h int, sigma float64) {
	reach := int(math.Ceil(3 * sigma))
	k := make([]float32, reach+1)
	total := float32(0)
	for i := range k {
		k[i] = float32(gauss(float64(i), sigma))
		total += k[i]
		if i > 0 {
			total += k[i]
		}
	}
	for i := range k {
		k[i] /= total
	}
	for y := range h {
		row, to := in[y*w:(y+1)*w], mid[y*w:(y+1)*w]
		for x := range to {
			to[x] = k[0] * row[x]
		}
		for i := 1; i <= reach; i++ {
			for x := range to {
				to[x] += k[i] * (row[max(0, x-i)] + row[min(w-1, x+i)])
			}
		}
	}
	for y := range h {
		to := out[y*w : (y+1)*w]
		clear(to)
		for i := -reach; i <= reach; i++ {
			row := mid[max(0, min(h-1, y+i))*w:][:w]
			f := k[max(i, -i)]
			for x := range to {
				to[x] += f * row[x]
			}
		}
	}
}

// cleanBeam draws a sound low beam, as lamps of the two housings show them.
func cleanBeam(r *rand.Rand) synth {
	between := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	cut := between(-0.8, -0.2)
	return synth{
		hotH: between(0, 2), hotV: cut - between(0.4, 1.3), hotSH: between(2.2, 3.5), hotSV: between(0.8, 1.4),
		floodV: cut - between(2, 3), floodSH: between(6, 7.5), floodSV: between(1.8, 2.6), flood: between(0.15, 0.35),
		cut: cut, soft: between(0.06, 0.2), leak: between(0.004, 0.02), rise: between(0, 0.27),
		veil: between(0.004, 0.01), level: 1,
	}
}

func cleanBeamOf(seed uint64) synth { return cleanBeam(rand.New(rand.NewPCG(seed, 1))) }

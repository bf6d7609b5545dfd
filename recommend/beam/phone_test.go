package beam

import (
	"bytes"
	"image"
	"image/jpeg"
	"math"
	"math/rand/v2"
)

// phone is a camera before a wall: pinhole with radial distortion (Brown 1971),
// cosine-fourth loss, Poisson and read noise, black level, white balance, sRGB
// (IEC 61966-2-1) under an S-curve, local tone mapping (the base layer of Durand
// and Dorsey 2002, by a Gaussian), JPEG. It shares no code with the program.
type phone struct {
	w, h             int
	wide             float64 // degrees across
	x, y, away       float64 // place beside the lamp and behind it, metres
	yaw, pitch, roll float64 // degrees
	k1               float64
	curve            float64 // strength of the S-curve
	local            float64 // strength of local tone mapping
	electrons        float64 // at full scale
	black            float64 // what the camera adds, of full scale
	r                *rand.Rand
	// The wall, made once for a pose: place on it and the lens's loss.
	px, py, loss []float32
}

// hall is the lamp before its wall.
type hall struct {
	distance, across, down float64       // metres; the plan as it was meant
	tape                   [6][2]float64 // how far each mark hangs from its place
	room                   float64       // light of the room, the stock peak is 1
}

func (c *phone) pose(wall hall) {
	n := c.w * c.h
	c.px, c.py, c.loss = make([]float32, n), make([]float32, n), make([]float32, n)
	f := float64(c.w) / 2 / math.Tan(c.wide/2*math.Pi/180)
	diag := math.Hypot(float64(c.w), float64(c.h)) / 2
	sy, cy := math.Sincos(c.yaw * math.Pi / 180)
	sp, cp := math.Sincos(c.pitch * math.Pi / 180)
	sr, cr := math.Sincos(c.roll * math.Pi / 180)
	for j := range c.h {
		for i := range c.w {
			a, b := (float64(i)-float64(c.w-1)/2)/diag, (float64(c.h-1)/2-float64(j))/diag
			p, q := a, b
			for range 5 {
				s := 1 + c.k1*(p*p+q*q)
				p, q = a/s, b/s
			}
			p, q = p*diag/f, q*diag/f
			c.loss[j*c.w+i] = float32(math.Pow(1+p*p+q*q, -2))
			// Roll about the view, then pitch, then yaw; z points to the wall.
			p, q = p*cr-q*sr, p*sr+q*cr
			x, y, z := p, q, 1.0
			y, z = y*cp+z*sp, z*cp-y*sp
			x, z = x*cy+z*sy, z*cy-x*sy
			t := (wall.distance + c.away) / z
			c.px[j*c.w+i], c.py[j*c.w+i] = float32(c.x+t*x), float32(c.y+t*y)
		}
	}
}

// scene is the light that reaches each pixel, the stock peak near 1.
func (c *phone) scene(s *synth, wall hall, withLamp, room float64) []float32 {
	var t *angleTable
	if s != nil {
		t = s.tabulate(-34, 34, -22, 22)
	}
	out := make([]float32, len(c.px))
	for i := range out {
		x, y := float64(c.px[i]), float64(c.py[i])
		e := room
		if t != nil {
			u, w := x/wall.distance, y/wall.distance
			if math.Abs(u) < 0.62 && math.Abs(w) < 0.4 {
				e += withLamp * float64(t.onWall(u, w)) * math.Pow(1+u*u+w*w, -1.5)
			}
		}
		out[i] = float32(e*wall.reflects(x, y)) * c.loss[i]
	}
	return out
}

// reflects is the wall, or a page with a mark.
func (wall hall) reflects(x, y float64) float64 {
	for k := range 6 {
		mx := float64(k%3-1)*wall.across + wall.tape[k][0]
		my := (0.5-float64(k/3))*wall.down + wall.tape[k][1]
		dx, dy := math.Abs(x-mx), math.Abs(y-my)
		if dx > 0.105 || dy > 0.1485 {
			continue
		}
		r := math.Hypot(dx, dy)
		if r < 0.025 || r > 0.05 && r < 0.08 {
			return 0.06
		}
		return 1.08
	}
	return 1
}

// shoot develops light at an exposure; gains are of the channels. moved shifts the
// picture by whole pixels, as a phone that was touched.
func (c *phone) shoot(light []float32, exposure float64, gains [3]float64, dx, dy int) image.Image {
	img := image.NewRGBA(image.Rect(0, 0, c.w, c.h))
	var base []float32
	if c.local > 0 {
		base = make([]float32, len(light))
		for i, e := range light {
			base[i] = float32(math.Log(float64(e)*exposure + 0.002))
		}
		base = blurred(base, c.w, c.h, float64(c.w)/18)
	}
	var table [4097]uint8
	for i := range table {
		x := float64(i) / 4096
		v := 12.92 * x
		if x > 0.0031308 {
			v = 1.055*math.Pow(x, 1/2.4) - 0.055
		}
		v += c.curve * 4 * v * (1 - v) * (v - 0.5)
		table[i] = uint8(math.Round(255 * math.Max(0, math.Min(1, v))))
	}
	var noise [1 << 14]float32
	for i := range noise {
		noise[i] = float32(c.r.NormFloat64())
	}
	at := c.r.IntN(1 << 14)
	for y := range c.h {
		for x := range c.w {
			sx, sy := max(0, min(c.w-1, x-dx)), max(0, min(c.h-1, y-dy))
			i := sy*c.w + sx
			e := float64(light[i]) * exposure
			if base != nil {
				e *= math.Exp(c.local * (math.Log(0.18) - float64(base[i])))
			}
			var rgb [3]uint8
			for k := range 3 {
				at = (at + 1) & (1<<14 - 1)
				v := e*gains[k] + c.black
				v += float64(noise[at]) * math.Sqrt(math.Max(v, 0)/c.electrons+1e-8)
				// A dither of the table keeps its steps from showing.
				rgb[k] = table[int(math.Max(0, math.Min(1, v))*4096)]
			}
			copy(img.Pix[img.PixOffset(x, y):], []uint8{rgb[0], rgb[1], rgb[2], 255})
		}
	}
	var file bytes.Buffer
	if err := jpeg.Encode(&file, img, &jpeg.Options{Quality: 93}); err != nil {
		panic(err)
	}
	out, err := jpeg.Decode(&file)
	if err != nil {
		panic(err)
	}
	return out
}

// Truths by the formula alone. The region is zone III of UN R112 (para 6.2.4) laid
// 0.57 degree over the cutoff, as the program's words say.
func trueStray(s *synth, base float64) (whole, oncoming float64) {
	outline := [][2]float64{{-8, 1}, {-8, 4}, {8, 4}, {8, 2}, {6, 1.5}, {1.5, 1.5}, {0, 0}, {-4, 0}}
	for h := -7.95; h < 8; h += 0.1 {
		for v := 0.05; v < 4; v += 0.1 {
			turns := 0.0
			for i, a := range outline {
				b := outline[(i+1)%len(outline)]
				turns += math.Remainder(math.Atan2(b[1]-v, b[0]-h)-math.Atan2(a[1]-v, a[0]-h), 2*math.Pi)
			}
			if math.Abs(turns) < 3 {
				continue
			}
			e := s.at(h, v+base+0.57)
			whole += e
			if h < 0 {
				oncoming += e
			}
		}
	}
	return whole, oncoming
}

// trueCutoff is where log light falls steepest at 2.5 degrees to the oncoming side.
func trueCutoff(s *synth) float64 {
	best, at := 0.0, 0.0
	for v := s.cut - 0.6; v < s.cut+0.6; v += 0.002 {
		if fall := math.Log(s.at(-2.5, v-0.01) / s.at(-2.5, v+0.01)); fall > best {
			best, at = fall, v
		}
	}
	return at
}

func trueRatio(bulb, stock *synth) float64 {
	base := trueCutoff(stock)
	a, b := trueStray(bulb, base)
	c, d := trueStray(stock, base)
	return math.Max(a/c, b/d)
}

// pairOfBeams draws a stock beam and a bulb: clean ones have about its stray light,
// dazzlers 2.1 to 6 times.
func pairOfBeams(r *rand.Rand, dazzles bool) (bulb, stock synth, ratio float64) {
	for {
		stock = cleanBeam(r)
		bulb = bulbFor(r, stock)
		bulb.soft = math.Max(bulb.soft, 0.05)
		bulb.level = 0.8 + 0.7*r.Float64()
		if dazzles {
			f := math.Exp(math.Log(2.2) + r.Float64()*math.Log(3))
			bulb.veil, bulb.leak = stock.veil*f/bulb.level, stock.leak*f/bulb.level
		}
		ratio = trueRatio(&bulb, &stock)
		if dazzles && ratio >= 2.1 && ratio < 8 || !dazzles && ratio < 1.6 {
			return bulb, stock, ratio
		}
	}
}

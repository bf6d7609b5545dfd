package beam

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"image"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// rawFile is an invented sensor that writes DNG files. It shares no code with the
// reader.
type rawFile struct {
	w, h        int
	order       binary.ByteOrder
	bits        int
	jpeg        bool
	predictor   int
	tile        int // side of a tile; 0: strips of 16 lines
	black       [4]int
	white       int
	shade       bool // the lens loses half at the corner, and the file says so
	orientation int
	compression int
	seconds     float64
	mosaic      [4]byte
}

// cameraMatrix takes XYZ to the invented camera.
var cameraMatrix = [9]float64{0.9, -0.2, -0.1, -0.4, 1.2, 0.2, -0.05, 0.15, 0.6}

func usualRaw(w, h int) rawFile {
	return rawFile{w: w, h: h, order: binary.LittleEndian, bits: 16, black: [4]int{60, 64, 66, 70}, white: 4000, orientation: 1, compression: 1, seconds: 0.01, mosaic: [4]byte{0, 1, 1, 2}}
}

// counts are the sensor's numbers for XYZ light, full green at 1.
func (f rawFile) counts(xyz func(x, y int) [3]float64) []uint16 {
	out := make([]uint16, f.w*f.h)
	for y := range f.h {
		for x := range f.w {
			c := int(f.mosaic[y%2*2+x%2])
			l := xyz(x, y)
			v := 0.0
			for k := range 3 {
				v += cameraMatrix[3*c+k] * l[k]
			}
			if f.shade {
				v /= f.gainAt(x, y)
			}
			b := f.black[y%2*2+x%2]
			out[y*f.w+x] = uint16(math.Max(0, math.Min(float64(f.white), math.Round(float64(b)+v*float64(f.white-b)))))
		}
	}
	return out
}

// gainAt undoes the shading: 1 on the left edge, 2 on the right.
func (f rawFile) gainAt(x, _ int) float64 { return 1 + (float64(x)+0.5)/float64(f.w) }

// bytes writes the file: first a small preview's directory, then the raw one's.
func (f rawFile) bytes(counts []uint16) []byte {
	type entry struct {
		tag, kind int
		values    []any
	}
	var parts [][]byte
	tw, th := f.w, 16
	if f.tile > 0 {
		tw, th = f.tile, f.tile
	}
	for y := 0; y < f.h; y += th {
		for x := 0; x < f.w; x += tw {
			rows := th
			if f.tile == 0 {
				rows = min(th, f.h-y)
			}
			block := make([]uint16, 0, tw*rows)
			for dy := range rows {
				for dx := range tw {
					block = append(block, counts[min(f.h-1, y+dy)*f.w+min(f.w-1, x+dx)])
				}
			}
			parts = append(parts, f.pack(block, tw, rows))
		}
	}
	out := []byte("II*\x00")
	if f.order == binary.BigEndian {
		out = []byte("MM\x00*")
	}
	out = append(out, 0, 0, 0, 0)
	var offsets, sizes []any
	for _, p := range parts {
		offsets, sizes = append(offsets, len(out)), append(sizes, len(p))
		out = append(out, p...)
	}
	rational := func(v float64) any { return [2]int32{int32(math.Round(v * 1e6)), 1e6} }
	matrix := func() (list []any) {
		for _, v := range cameraMatrix {
			list = append(list, rational(v))
		}
		return list
	}
	write := func(list []entry) int {
		var extra []byte
		at := len(out)
		if at%2 == 1 {
			out, at = append(out, 0), at+1
		}
		after := at + 2 + 12*len(list) + 4
		head := f.u16(len(list))
		for _, e := range list {
			var body []byte
			n := len(e.values)
			for _, v := range e.values {
				switch v := v.(type) {
				case string:
					body, n = append(body, v...), len(v)
				case [2]int32:
					body = append(append(body, f.u32(int(v[0]))...), f.u32(int(v[1]))...)
				case int:
					switch e.kind {
					case 1, 7:
						body = append(body, byte(v))
					case 3:
						body = append(body, f.u16(v)...)
					default:
						body = append(body, f.u32(v)...)
					}
				}
			}
			head = append(append(append(head, f.u16(e.tag)...), f.u16(e.kind)...), f.u32(n)...)
			if len(body) <= 4 {
				head = append(head, append(body, make([]byte, 4-len(body))...)...)
			} else {
				head = append(head, f.u32(after+len(extra))...)
				extra = append(extra, body...)
			}
		}
		out = append(append(append(out, head...), 0, 0, 0, 0), extra...)
		return at
	}
	ints := func(v ...int) (list []any) {
		for _, x := range v {
			list = append(list, x)
		}
		return list
	}
	compression := f.compression
	if f.jpeg {
		compression = 7
	}
	body := []entry{{254, 4, ints(0)}, {256, 4, ints(f.w)}, {257, 4, ints(f.h)}, {258, 3, ints(f.bits)}, {259, 3, ints(compression)}, {262, 3, ints(32803)}, {277, 3, ints(1)}}
	if f.tile > 0 {
		body = append(body, entry{322, 4, ints(tw)}, entry{323, 4, ints(th)}, entry{324, 4, offsets}, entry{325, 4, sizes})
	} else {
		body = append(body, entry{273, 4, offsets}, entry{278, 4, ints(th)}, entry{279, 4, sizes})
	}
	body = append(body, entry{33421, 3, ints(2, 2)}, entry{33422, 1, ints(int(f.mosaic[0]), int(f.mosaic[1]), int(f.mosaic[2]), int(f.mosaic[3]))},
		entry{50713, 3, ints(2, 2)}, entry{50714, 3, ints(f.black[0], f.black[1], f.black[2], f.black[3])}, entry{50717, 4, ints(f.white)})
	if f.shade {
		var op []byte
		be := binary.BigEndian
		op = be.AppendUint32(op, 1) // one opcode
		for _, v := range []uint32{9, 0x01030000, 0, 76 + 4*2} {
			op = be.AppendUint32(op, v)
		}
		for _, v := range []int{0, 0, f.h, f.w, 0, 1, 1, 1, 1, 2} {
			op = be.AppendUint32(op, uint32(v))
		}
		for _, v := range []float64{1, 1, 0, 0} {
			op = be.AppendUint64(op, math.Float64bits(v))
		}
		op = be.AppendUint32(op, 1)
		for _, v := range []float32{1, 2} {
			op = be.AppendUint32(op, math.Float32bits(v))
		}
		body = append(body, entry{51009, 7, []any{string(op)}})
	}
	sub := write(body)
	exif := write([]entry{{0x829A, 5, []any{rational(f.seconds)}}, {0x829D, 5, []any{rational(1.8)}}, {0x8827, 3, ints(100)}, {0x8822, 3, ints(1)}, {0x9003, 2, []any{"2026:11:28 21:00:00\x00"}}})
	first := write([]entry{{254, 4, ints(1)}, {256, 4, ints(8)}, {257, 4, ints(8)}, {262, 3, ints(2)}, {274, 3, ints(f.orientation)}, {330, 4, ints(sub)}, {0x8769, 4, ints(exif)}, {50706, 1, ints(1, 4, 0, 0)}, {50721, 10, matrix()}})
	f.order.PutUint32(out[4:], uint32(first))
	return out
}

func (f rawFile) u16(v int) []byte {
	b := make([]byte, 2)
	f.order.PutUint16(b, uint16(v))
	return b
}

func (f rawFile) u32(v int) []byte {
	b := make([]byte, 4)
	f.order.PutUint32(b, uint32(v))
	return b
}

func (f rawFile) pack(block []uint16, wide, high int) []byte {
	if f.jpeg {
		// Two components of half the width, as raw files have it.
		return losslessBytes(block, wide/2, high, 2, f.predictor)
	}
	var out []byte
	for y := range high {
		bits, n := uint64(0), 0
		for _, v := range block[y*wide : (y+1)*wide] {
			if f.bits == 16 {
				out = append(out, f.u16(int(v))...)
				continue
			}
			for bits, n = bits<<f.bits|uint64(v), n+f.bits; n >= 8; n -= 8 {
				out = append(out, byte(bits>>(n-8)))
			}
		}
		if n > 0 {
			out = append(out, byte(bits<<(8-n)))
		}
	}
	return out
}

// losslessBytes encodes samples by ITU-T T.81, annex H, with one code of five bits for
// each of the 17 categories.
func losslessBytes(v []uint16, wide, high, parts, predictor int) []byte {
	out := []byte{0xFF, 0xD8, 0xFF, 0xC4, 0, 2 + 17 + 17, 0, 0, 0, 0, 0, 17, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0}
	for i := range 17 {
		out = append(out, byte(i))
	}
	out = append(out, 0xFF, 0xC3, 0, byte(8+3*parts), 16, byte(high>>8), byte(high), byte(wide>>8), byte(wide), byte(parts))
	for i := range parts {
		out = append(out, byte(i), 0x11, 0)
	}
	out = append(out, 0xFF, 0xDA, 0, byte(6+2*parts), byte(parts))
	for i := range parts {
		out = append(out, byte(i), 0)
	}
	out = append(out, byte(predictor), 0, 0)
	bits, n := uint64(0), 0
	put := func(value uint64, length int) {
		for bits, n = bits<<length|value, n+length; n >= 8; n -= 8 {
			b := byte(bits >> (n - 8))
			if out = append(out, b); b == 0xFF {
				out = append(out, 0)
			}
		}
	}
	at := func(y, x, k int) int { return int(v[(y*wide+x)*parts+k]) }
	for y := range high {
		for x := range wide {
			for k := range parts {
				guess := 0
				switch {
				case x == 0 && y == 0:
					guess = 1 << 15
				case y == 0:
					guess = at(y, x-1, k)
				case x == 0:
					guess = at(y-1, x, k)
				default:
					a, b, c := at(y, x-1, k), at(y-1, x, k), at(y-1, x-1, k)
					guess = []int{0, a, b, c, a + b - c, a + (b-c)>>1, b + (a-c)>>1, (a + b) / 2}[predictor]
				}
				d := int(int16(at(y, x, k) - guess))
				size := 0
				for m := max(d, -d); m > 0; m >>= 1 {
					size++
				}
				put(uint64(size), 5)
				if size > 0 && size < 16 {
					code := d
					if d < 0 {
						code = d + 1<<size - 1
					}
					put(uint64(code), size)
				}
			}
		}
	}
	put(0x7F, 7)
	return append(out, 0xFF, 0xD9)
}

// Every way of writing gives back the light that was written, to the sensor's steps.
func TestReadDNG(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 18))
	usual := usualRaw(160, 96)
	for name, change := range map[string]func(f *rawFile){
		"as it is":        func(*rawFile) {},
		"big-endian":      func(f *rawFile) { f.order = binary.BigEndian },
		"12 bits":         func(f *rawFile) { f.bits = 12 },
		"14 bits":         func(f *rawFile) { f.bits = 14 },
		"tiles":           func(f *rawFile) { f.tile = 64 },
		"lossless":        func(f *rawFile) { f.jpeg, f.predictor = true, 1 },
		"lossless tiles":  func(f *rawFile) { f.jpeg, f.predictor, f.tile = true, 6, 64 },
		"predictor 4":     func(f *rawFile) { f.jpeg, f.predictor = true, 4 },
		"predictor 7":     func(f *rawFile) { f.jpeg, f.predictor = true, 7 },
		"other mosaic":    func(f *rawFile) { f.mosaic = [4]byte{1, 2, 0, 1} },
		"shaded, with it": func(f *rawFile) { f.shade = true },
	} {
		f := usual
		change(&f)
		// Light that changes slowly, of two lamps' colours.
		truth := func(x, y int) [3]float64 {
			l := 0.05 + 0.3*float64(x)/float64(f.w) + 0.2*float64(y)/float64(f.h)
			return [3]float64{1.05 * l, l, 0.7 * l}
		}
		p, err := ReadDNG(f.bytes(f.counts(truth)))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		scale := 0.0
		for range 200 {
			x, y := 2+r.IntN(f.w-4), 2+r.IntN(f.h-4)
			k := float64(p.e[y*p.w+x]) / truth(x, y)[1]
			if scale == 0 {
				scale = k
			}
			if math.Abs(k/scale-1) > 0.01 {
				t.Errorf("%s: at %d, %d %.4f of the truth, elsewhere %.4f", name, x, y, k, scale)
				break
			}
		}
		if p.flat != f.shade {
			t.Errorf("%s: shading undone %v", name, p.flat)
		}
		if e, ok := ReadExposure(f.bytes(f.counts(truth))); !ok || !e.Manual || math.Abs(e.Seconds-0.01) > 1e-9 {
			t.Errorf("%s: exposure %+v %v", name, e, ok)
		}
	}
}

// Colours of equal light read equal, which a wrong row of the matrix would not give.
func TestRawLuminanceIsTheEyes(t *testing.T) {
	f := usualRaw(64, 64)
	read := func(xyz [3]float64) float64 {
		p, err := ReadDNG(f.bytes(f.counts(func(int, int) [3]float64 { return xyz })))
		if err != nil {
			t.Fatal(err)
		}
		return float64(p.e[20*p.w+20])
	}
	white := read([3]float64{0.19, 0.2, 0.22})
	for _, xyz := range [][3]float64{{0.22, 0.2, 0.07}, {0.19, 0.2, 0.35}, {0.25, 0.2, 0.1}} {
		if got := read(xyz); math.Abs(got/white-1) > 0.01 {
			t.Errorf("%v: %.4f, white of the same light %.4f", xyz, got, white)
		}
	}
}

// A white place is white, a turned picture turned, and what cannot be read is refused.
func TestRawEdges(t *testing.T) {
	f := usualRaw(64, 80)
	grey := func(x, y int) [3]float64 {
		if x < 10 && y < 10 {
			return [3]float64{3, 3, 3}
		}
		return [3]float64{0.2, 0.2, 0.2}
	}
	p, err := ReadDNG(f.bytes(f.counts(grey)))
	if err != nil || p.e[3*p.w+3] < clippedLight || p.e[40*p.w+40] > 1 {
		t.Fatalf("white %v, grey %v, %v", p.e[3*p.w+3], p.e[40*p.w+40], err)
	}
	for o := 2; o <= 8; o++ {
		over := Upright(p, o).(*Plane)
		want := Turned{image.NewGray(image.Rect(0, 0, 64, 80)), o}
		x, y := 0, 0
		for y = range over.h {
			for x = range over.w {
				sx, sy := want.stored(x, y)
				if over.e[y*over.w+x] != p.e[sy*p.w+sx] {
					t.Fatalf("orientation %d: %d, %d", o, x, y)
				}
			}
		}
	}
	whole := f.bytes(f.counts(grey))
	for name, c := range map[string]struct {
		file []byte
		want string
	}{
		"cut short":  {whole[:len(whole)/3], "raw"},
		"lossy":      {func() []byte { g := f; g.compression = 34892; return g.bytes(g.counts(grey)) }(), "compression 34892"},
		"no raw":     {bytes.Replace(whole, []byte{0x06, 0x01, 3, 0, 1, 0, 0, 0, 0x23, 0x80}, []byte{0x06, 0x01, 3, 0, 1, 0, 0, 0, 2, 0}, 1), "no raw picture"},
		"four blues": {func() []byte { g := f; g.mosaic = [4]byte{2, 2, 2, 2}; return g.bytes(g.counts(grey)) }(), "lacks a colour"},
	} {
		if _, err := ReadDNG(c.file); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
	}
}

// An evening in raw: three exposures of each beam, darker and brighter than JPEG could
// hold, give the ratio of stray light that the formula has.
func TestRawEvening(t *testing.T) {
	st := synth{hotH: 0.8, hotV: -1.5, hotSH: 2.8, hotSV: 1.1, floodV: -3, floodSH: 6.5, floodSV: 2.2, flood: 0.2, cut: -0.6, soft: 0.1, leak: 0.01, rise: 0.2, veil: 0.006, level: 1}
	bulb := st
	bulb.veil, bulb.leak, bulb.level = 0.03, 0.05, 1.2
	f := usualRaw(900, 400)
	f.jpeg, f.predictor, f.tile = true, 1, 128
	const perDeg = 36.0
	shoot := func(s *synth, seconds, red float64) Shot {
		table := s.tabulate(-13.5, 13.5, -6.8, 6)
		g := f
		g.seconds = seconds
		content := g.bytes(g.counts(func(x, y int) [3]float64 {
			u, w := (float64(x)-450)/perDeg*math.Pi/180, (180-float64(y))/perDeg*math.Pi/180
			q := 1 + u*u + w*w
			l := float64(table.onWall(u, w)) * math.Pow(q, -1.5) * seconds / 0.02 * 0.4
			return [3]float64{red * l, l, (2 - red) * l}
		}))
		p, err := ReadDNG(content)
		if err != nil {
			t.Fatal(err)
		}
		e, _ := ReadExposure(content)
		return Shot{p, &e}
	}
	var b Brackets
	for _, seconds := range []float64{0.02, 0.08, 0.32} {
		b.Stock = append(b.Stock, shoot(&st, seconds, 1.15))
		b.Bulb = append(b.Bulb, shoot(&bulb, seconds, 0.97))
	}
	in, err := Gather(b, "")
	if err != nil {
		t.Fatal(err)
	}
	level := 0.0
	in.PxPerDeg, in.AxisX, in.AxisY, in.TiltDeg = perDeg, 450, 180, &level
	p, _, err := FromPhoto(in, Options{Beam: Low, Weights: DefaultWeights()})
	if err != nil {
		t.Fatal(err)
	}
	want := trueRatio(&bulb, &st)
	if p.Stray.VsStock == nil || math.Abs(*p.Stray.VsStock/want-1) > 0.05 || *p.Stray.VsStockLow > want || *p.Stray.VsStockHigh < want {
		t.Errorf("%+v, the formula has %.2f", p.Stray, want)
	}
	if v := p.HotSpot.VsStock; v == nil || math.Abs(*v/1.2-1) > 0.05 {
		t.Errorf("the bulb is %v times stock at its brightest, 1.2 by the formula", fmt.Sprint(v))
	}
	b.Bulb[0].Image = image.NewGray(image.Rect(0, 0, 900, 400))
	if _, err := Gather(b, ""); err == nil || !strings.Contains(err.Error(), "some of the pictures are raw") {
		t.Errorf("mixed kinds: %v", err)
	}
}

// FuzzReadDNG: whatever the bytes, an error or a plane of finite light.
func FuzzReadDNG(f *testing.F) {
	for _, change := range []func(*rawFile){func(*rawFile) {}, func(r *rawFile) { r.jpeg, r.predictor, r.tile = true, 1, 64 }, func(r *rawFile) { r.shade, r.bits = true, 12 }} {
		r := usualRaw(64, 64)
		change(&r)
		f.Add(r.bytes(r.counts(func(x, y int) [3]float64 { return [3]float64{0.2, 0.2, 0.2} })))
	}
	f.Fuzz(func(t *testing.T, file []byte) {
		if len(file) > 1<<16 {
			return
		}
		p, err := ReadDNG(file)
		if err != nil {
			return
		}
		for _, e := range p.e {
			if !(e >= 0) || math.IsInf(float64(e), 0) {
				t.Fatalf("light %v", e)
			}
		}
	})
}

package beam

import (
	"bytes"
	"image"
	"image/jpeg"
	"image/png"
	"math/rand/v2"
	"testing"
)

// bigPair is a 4000 x 3000 pair at 60 pixels per degree, as colour files.
func bigPair(b *testing.B) (in PhotoInput, jpegs, pngs [2][]byte) {
	b.Helper()
	st, r := newStudio(), rand.New(rand.NewPCG(81, 1))
	stock := cleanBeam(r)
	bulb := faulty(r, stock)
	c := camera{perDeg: 60, w: 4000, h: 3000, ax: 2000, ay: 1500, tilt: 1, blur: 0.7, loss: 2, noise: 0.005, exposure: 0.5, seed: 3}
	whole := [4]float64{-34, 34, -26, 26}
	pictures := [2]*image.Gray{st.shoot(bulb.tabulate(whole[0], whole[1], whole[2], whole[3]), c), st.shoot(stock.tabulate(whole[0], whole[1], whole[2], whole[3]), c)}
	for i, p := range pictures {
		colour := image.NewRGBA(p.Bounds())
		for k, v := range p.Pix {
			colour.Pix[4*k], colour.Pix[4*k+1], colour.Pix[4*k+2], colour.Pix[4*k+3] = v, v, v, 255
		}
		var out bytes.Buffer
		if err := jpeg.Encode(&out, colour, &jpeg.Options{Quality: 95}); err != nil {
			b.Fatal(err)
		}
		jpegs[i] = bytes.Clone(out.Bytes())
		out.Reset()
		if err := (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(&out, colour); err != nil {
			b.Fatal(err)
		}
		pngs[i] = bytes.Clone(out.Bytes())
	}
	blur := c.blur
	return PhotoInput{PxPerDeg: c.perDeg, AxisX: c.ax, AxisY: c.ay, BlurPx: &blur}, jpegs, pngs
}

// BenchmarkTwelveMegapixels compares scoring a decoded pair with decoding it; the
// target of issue 5 is at most three times as long.
func BenchmarkTwelveMegapixels(b *testing.B) {
	in, jpegs, pngs := bigPair(b)
	o := Options{Beam: Low, Weights: DefaultWeights()}
	decode := func(b *testing.B, files [2][]byte) (out [2]image.Image) {
		for i, f := range files {
			img, _, err := image.Decode(bytes.NewReader(f))
			if err != nil {
				b.Fatal(err)
			}
			out[i] = img
		}
		return out
	}
	for _, kind := range []struct {
		name  string
		files [2][]byte
	}{{"jpeg", jpegs}, {"png", pngs}} {
		b.Run("decode "+kind.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				decode(b, kind.files)
			}
		})
		b.Run("score "+kind.name, func(b *testing.B) {
			b.ReportAllocs()
			both := decode(b, kind.files)
			in.Bulb, in.Stock = both[0], both[1]
			for b.Loop() {
				if _, _, err := FromPhoto(in, o); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

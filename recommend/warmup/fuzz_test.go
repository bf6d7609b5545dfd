package warmup

import (
	"encoding/binary"
	"math"
	"testing"
)

// FuzzReduce: whatever the readings, an error or figures that are finite and in order.
func FuzzReduce(f *testing.F) {
	f.Add([]byte{}, 27.0)
	f.Add([]byte("0aaaaaaaaaaaabbbbbbbbbbbbbccccccccccccccddddddddd"), 27.0)
	f.Add([]byte("1\x00\x10\xff\xf0\x00\x20\xfe\xf0\x00\x30\xfd\xf0\x00\x40\xfc\xf0\x00\x50\xfb\xf0\x00\x60\xfa\xf0"), 27.0)
	f.Add([]byte("1\x01\x10\xff\xf0\x01\x20\xff\xf0\x01\x30\xff\xf0\x01\x40\xff\xf0\x01\x50\xff\xf0\x01\x60\x00\x00"), 0.0)
	f.Fuzz(func(t *testing.T, data []byte, at float64) {
		var readings []Reading
		if len(data) > 0 && data[0]%2 == 0 { // any numbers at all
			for data = data[1:]; len(data) >= 16 && len(readings) < 40; data = data[16:] {
				readings = append(readings, Reading{math.Float64frombits(binary.LittleEndian.Uint64(data)), math.Float64frombits(binary.LittleEndian.Uint64(data[8:]))})
			}
		} else if len(data) > 0 { // legal ones: steps of 2 us to 4 days, 0.001 to 1e7 lux
			minute := 0.0
			for data = data[1:]; len(data) >= 4 && len(readings) < 40; data = data[4:] {
				readings = append(readings, Reading{minute, 0.001 * math.Pow(1e10, float64(binary.BigEndian.Uint16(data[2:]))/65535)})
				minute += 3e-8 * math.Pow(2e11, float64(binary.BigEndian.Uint16(data))/65535)
			}
		}
		g, err := Reduce(readings, at, Options{})
		if err != nil {
			return // named by index, as TestReadingErrors holds
		}
		for _, v := range []*float64{g.Lux, g.LuxLow, g.LuxHigh, g.RetainedPct, g.TauMin, g.StartLux, g.SettledLux, g.SettledAtMin} {
			if v != nil && !(*v >= 0 && *v <= math.MaxFloat64) {
				t.Fatalf("%g in %+v from %v", *v, g, readings)
			}
		}
		if g.Lux != nil && (*g.Lux < *g.LuxLow || *g.Lux > *g.LuxHigh) {
			t.Fatalf("%g outside %g..%g from %v", *g.Lux, *g.LuxLow, *g.LuxHigh, readings)
		}
		for _, p := range g.Parameters {
			if math.IsNaN(p.Value) || math.IsInf(p.Value, 0) || math.IsNaN(p.Sigma) || math.IsInf(p.Sigma, 0) {
				t.Fatalf("%+v from %v", p, readings)
			}
		}
		if _, err := g.EnoughToStop(2); err != nil {
			t.Fatal(err)
		}
	})
}

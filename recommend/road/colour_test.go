package road

import (
	"bufio"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// Illuminants from https://www.cs.ucf.edu/courses/cap5725/spring2003/Chromaticity.htm
// (read for A, C, D65, E; from memory for D50, D55, D75), McCamy values computed in
// facts/photometry.md 7.3, white or not in 7.4.
func TestIlluminants(t *testing.T) {
	for _, c := range []struct {
		name    string
		x, y, k float64
		white   bool
	}{
		{"A", 0.44757, 0.40745, 2857.29, true}, {"D50", 0.34567, 0.35850, 5002.10, true},
		{"D55", 0.33242, 0.34743, 5502.62, true}, {"D65", 0.31271, 0.32902, 6504.39, true},
		{"D75", 0.29902, 0.31485, 7501.81, false}, {"E", 1.0 / 3, 1.0 / 3, 5458.95, true},
		{"C", 0.31006, 0.31616, 6770.70, true},
	} {
		colour := Chromaticity{c.x, c.y}
		near(t, c.name, must(t)(McCamy(colour)), c.k, 0.011)
		for _, white := range []White{WhiteUS(), WhiteUN()} {
			if got := white.Inside(colour); got != c.white {
				t.Errorf("%s by %s: white %v, want %v", c.name, white.Name, got, c.white)
			}
		}
	}
	_, err := McCamy(Chromaticity{0.3, math.NaN()})
	outOfRange(t, err, "y")
	_, err = McCamy(Chromaticity{0.332, 0.1858})
	outOfRange(t, err, "y")
}

// Loci of facts/photometry.md 7.3 (computed there); CIE illuminant A is 2,856 K.
func TestLoci(t *testing.T) {
	for _, c := range []struct {
		locus   Locus
		k, x, y float64
		digits  float64
	}{
		{Daylight, 4000, 0.382344, 0.383766, 1e-6}, {Daylight, 5000, 0.345741, 0.358666, 1e-6},
		{Daylight, 5500, 0.332502, 0.347608, 1e-6}, {Daylight, 6000, 0.321692, 0.337798, 1e-6},
		{Daylight, 6500, 0.312779, 0.329183, 1e-6}, {Daylight, 7000, 0.305357, 0.321646, 1e-6},
		{Daylight, 8000, 0.293772, 0.309220, 1e-6},
		{Planckian, 2856, 0.44754, 0.40743, 6e-6}, {Planckian, 4000, 0.38045, 0.37676, 6e-6},
		{Planckian, 5000, 0.34511, 0.35164, 6e-6}, {Planckian, 6000, 0.32210, 0.33179, 6e-6},
		{Planckian, 6500, 0.31354, 0.32367, 6e-6}, {Planckian, 8000, 0.29521, 0.30482, 6e-6},
	} {
		got, err := c.locus(c.k)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "x", got.X, c.x, c.digits)
		near(t, "y", got.Y, c.y, c.digits)
	}
	// Both branches of the daylight locus meet at 7,000 K, to the figures of CIE 15.
	below, _ := Daylight(7000)
	above, _ := Daylight(math.Nextafter(7000, 8000))
	near(t, "branches", above.X, below.X, 1e-4)
	for _, bad := range []float64{3999, 25001, math.NaN()} {
		_, err := Daylight(bad)
		outOfRange(t, err, "colour temperature")
	}
	for _, bad := range []float64{999, 25001, math.Inf(1)} {
		_, err := Planckian(bad)
		outOfRange(t, err, "colour temperature")
	}
	// A black body's correlated temperature is its own; the cubic is good to 0.3 %.
	for k := 3000.0; k <= 8000; k += 250 {
		c, _ := Planckian(k)
		near(t, "McCamy on the Planckian locus", must(t)(McCamy(c))/k, 1, 0.003)
	}
}

// Where white ends, facts/photometry.md 7.4 (computed there).
func TestWhiteEnds(t *testing.T) {
	for _, white := range []White{WhiteUS(), WhiteUN()} {
		day := must(t)(WhiteEnd(white, Daylight))
		near(t, "daylight", day, 6677, 0.5)
		black := must(t)(WhiteEnd(white, Planckian))
		near(t, "Planckian", black, 6737, 0.5)
		at, _ := Daylight(day)
		near(t, "x", at.X, 0.3100, 5e-5)
		near(t, "y", at.Y, 0.3264, 5e-5)
		near(t, "McCamy", must(t)(McCamy(at)), 6676, 0.5)
		at, _ = Planckian(black)
		near(t, "y", at.Y, 0.3202, 5e-5)
		least, most := white.Limits(0.31)
		near(t, "purple line", least, 0.2825, 5e-5)
		near(t, "green line", most, 0.3484, 5e-5)
		// Every daylight up to the end is inside. In y it is 0.0109 from green at 4,000
		// and 4,500 K, and nearest at 4,250 K, 0.0106 (computed here).
		narrowest := math.Inf(1)
		for k := 4000.0; k <= 6676; k++ {
			c, _ := Daylight(k)
			if !white.Inside(c) {
				t.Fatalf("%s: daylight at %g K is not white", white.Name, k)
			}
			_, most := white.Limits(c.X)
			narrowest = math.Min(narrowest, most-c.Y)
		}
		near(t, "margin to green", narrowest, 0.0106, 5e-5)
		for _, k := range []float64{4000, 4500} {
			c, _ := Daylight(k)
			_, most := white.Limits(c.X)
			near(t, "margin to green", most-c.Y, 0.0109, 5e-5)
		}
		for k, margin := range map[float64]float64{6000: 0.0117, 6500: 0.0028} {
			c, _ := Daylight(k)
			near(t, "margin in x", c.X-white.Blue, margin, 5e-5)
		}
		for _, k := range []float64{7000, 8000, 12000} {
			if c, _ := Daylight(k); white.Inside(c) {
				t.Errorf("%s: daylight at %g K is white", white.Name, k)
			}
		}
	}
}

// Corners of the UN white: W1 to W6 (from memory), with the lines' own figures computed
// in facts/photometry.md 7.1.
func TestWhiteCorners(t *testing.T) {
	white := WhiteUN()
	const inward, outward = 1e-3, -1e-3
	for _, c := range []struct{ x, y, toX, toY float64 }{
		{0.310, 0.3484, 1, -1}, {0.4531, 0.440, 0, -1}, {0.500, 0.440, -1, -1},
		{0.500, 0.382, -1, 1}, {0.4427, 0.382, 0, 1}, {0.310, 0.2825, 1, 2},
	} {
		if in := (Chromaticity{c.x + inward*c.toX, c.y + inward*c.toY}); !white.Inside(in) {
			t.Errorf("%v should be white", in)
		}
		if out := (Chromaticity{c.x + outward*c.toX, c.y + outward*c.toY}); white.Inside(out) {
			t.Errorf("%v should not be white", out)
		}
	}
	for _, edge := range []Chromaticity{{0.310, 0.33}, {0.500, 0.40}, {0.47, 0.440}, {0.47, 0.382}} {
		if !white.Inside(edge) {
			t.Errorf("%v is on the boundary, which is white", edge)
		}
	}
	if white.Inside(Chromaticity{math.NaN(), 0.33}) || white.Inside(Chromaticity{0.33, math.NaN()}) {
		t.Error("NaN is white")
	}
	// The two differ in the red line alone: 0.380 and 0.382.
	if between := (Chromaticity{0.47, 0.381}); !WhiteUS().Inside(between) || white.Inside(between) {
		t.Error("the red lines of the two boundaries are exchanged")
	}
}

// The observer is the CIE table of testdata, figure by figure.
func TestObserverTable(t *testing.T) {
	file, err := os.Open(filepath.Join("..", "..", "testdata", "colour", "cie1931-2deg-5nm.txt"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	observer, row := cieObserver(), 0
	for lines := bufio.NewScanner(file); lines.Scan(); {
		fields := strings.Fields(lines.Text())
		if len(fields) != 4 || fields[0] == "#" {
			continue
		}
		for i, field := range fields {
			figure, err := strconv.ParseFloat(field, 64)
			if err != nil {
				t.Fatal(err)
			}
			if i == 0 {
				near(t, "wavelength", cieFirst+cieStep*float64(row), figure, 0)
				continue
			}
			near(t, fields[0]+" nm", observer[row][i-1], figure, 0)
		}
		row++
	}
	if row != len(observer) {
		t.Errorf("%d rows, want %d", row, len(observer))
	}
}

// Luminous efficacy of black bodies, facts/photometry.md 8 (computed there): 683 times
// the share of V(lambda), of the radiation from 400 to 700 nm and of all of it.
func TestBlackBodyEfficacy(t *testing.T) {
	observer := cieObserver()
	v := func(nm float64) float64 { // linear between rows, 0 outside
		at := (nm - cieFirst) / cieStep
		i := int(math.Floor(at))
		if at < 0 || i >= len(observer)-1 {
			return 0
		}
		return observer[i][1] + (at-float64(i))*(observer[i+1][1]-observer[i][1])
	}
	efficacy := func(kelvin, from, to float64) float64 {
		var seen, all float64
		for nm := from + 0.5; nm < to; nm++ {
			m := planck(nm, kelvin)
			seen += m * v(nm)
			all += m
		}
		return 683 * seen / all
	}
	for _, c := range []struct{ k, cut, whole float64 }{
		{2700, 246.8, 12.4}, {3000, 255.2, 20.7}, {4000, 262.7, 0}, {5000, 257.3, 0}, {5800, 250.8, 92.3}, {6500, 245.2, 95.4},
	} {
		near(t, "400 to 700 nm", efficacy(c.k, 400, 700), c.cut, 0.5)
		if c.whole > 0 {
			near(t, "whole", efficacy(c.k, 50, 100000), c.whole, 0.1)
		}
	}
}

func BenchmarkPlanckian(b *testing.B) {
	for b.Loop() {
		if _, err := Planckian(6500); err != nil {
			b.Fatal(err)
		}
	}
}

package warmup

import (
	"bufio"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// readNIST reads columns of numbers from a file of testdata/nist, comments left out.
func readNIST(t *testing.T, name string) [][]float64 {
	t.Helper()
	f, err := os.Open("../../testdata/nist/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var rows [][]float64
	lines := bufio.NewScanner(f)
	for lines.Scan() {
		if strings.HasPrefix(lines.Text(), "#") || strings.TrimSpace(lines.Text()) == "" {
			continue
		}
		var row []float64
		for _, word := range strings.Fields(lines.Text()) {
			v, err := strconv.ParseFloat(word, 64)
			if err != nil {
				t.Fatal(err)
			}
			row = append(row, v)
		}
		rows = append(rows, row)
	}
	return rows
}

// digits is the number of leading digits two numbers share, NIST's log relative error.
func digits(got, want float64) float64 {
	if got == want {
		return 16
	}
	return -math.Log10(math.Abs(got-want) / math.Abs(want))
}

// TestNISTNonlinear holds the least-squares engine against the certified values of the NIST
// Statistical Reference Datasets (https://www.itl.nist.gov/div898/strd/), which stand in the heads
// of the files: from both published starting points, 8 digits of every parameter, 6 of its
// standard deviation.
func TestNISTNonlinear(t *testing.T) {
	saturating := model{2, func(b []float64, x float64, g []float64) float64 {
		e := math.Exp(-b[1] * x)
		g[0], g[1] = 1-e, b[0]*x*e
		return b[0] * (1 - e)
	}}
	chwirut := model{3, func(b []float64, x float64, g []float64) float64 {
		d := b[1] + b[2]*x
		v := math.Exp(-b[0]*x) / d
		g[0], g[1], g[2] = -x*v, -v/d, -x*v/d
		return v
	}}
	for _, test := range []struct {
		file   string
		m      model
		starts [][]float64
		b, sd  []float64
		rss    float64
	}{
		{"nist-misra1a.txt", saturating, [][]float64{{500, 0.0001}, {250, 0.0005}},
			[]float64{2.3894212918e+02, 5.5015643181e-04}, []float64{2.7070075241e+00, 7.2668688436e-06}, 1.2455138894e-01},
		{"nist-boxbod.txt", saturating, [][]float64{{1, 1}, {100, 0.75}},
			[]float64{2.1380940889e+02, 5.4723748542e-01}, []float64{1.2354515176e+01, 1.0455993237e-01}, 1.1680088766e+03},
		{"nist-chwirut2.txt", chwirut, [][]float64{{0.1, 0.01, 0.02}, {0.15, 0.008, 0.010}},
			[]float64{1.6657666537e-01, 5.1653291286e-03, 1.2150007096e-02},
			[]float64{3.8303286810e-02, 6.6621605126e-04, 1.5304234767e-03}, 5.1304802941e+02},
	} {
		var x, y []float64
		for _, row := range readNIST(t, test.file) {
			y, x = append(y, row[0]), append(x, row[1])
		}
		for _, start := range test.starts {
			s, err := solve(test.m, x, y, nil, start, fromAfar())
			if err != nil {
				t.Errorf("%s from %v: %v", test.file, start, err)
				continue
			}
			for j := range test.b {
				if d := digits(s.b[j], test.b[j]); d < 8 {
					t.Errorf("%s from %v: b%d %.12g, certified %.12g, %.1f digits", test.file, start, j+1, s.b[j], test.b[j], d)
				}
				if d := digits(s.sd[j], test.sd[j]); d < 6 {
					t.Errorf("%s from %v: sd of b%d %.12g, certified %.12g, %.1f digits", test.file, start, j+1, s.sd[j], test.sd[j], d)
				}
				t.Logf("%s from %v: b%d %.1f digits, sd %.1f", test.file, start, j+1, digits(s.b[j], test.b[j]), digits(s.sd[j], test.sd[j]))
			}
			if digits(s.rss, test.rss) < 8 {
				t.Errorf("%s from %v: rss %.12g, certified %.12g", test.file, start, s.rss, test.rss)
			}
		}
	}
}

// From a far start the first steps must be short: there the linear picture of the model is worth
// little, and a long first step of BoxBOD ends on a plateau from which nothing leads back.
func fromAfar() effort { return effort{damping: 100, settled: 1e-13, steps: 500} }

package beam

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

func TestReadGridForms(t *testing.T) {
	want := "lux 0 [{-1 -0.5 3} {0 -0.5 4} {-1 0.25 1} {0 0.25 2}]"
	for name, text := range map[string]string{
		"long":             "h_deg,v_deg,lux\n-1,0.25,1\n0,0.25,2\n-1,-0.5,3\n0,-0.5,4\n",
		"other order":      "lux;note;v_deg;h_deg\n2;a;0,25;0\n3;b;-0,5;-1\n4;c;-0,5;0\n1;d;0,25;-1\n",
		"comments, CRLF":   "\ufeff# lamp A\r\nh , v , lx # head\r\n\r\n-1,0.25,1\r\n0,.25,2 # two\r\n-1,-5e-1,3\r\n0,-0.5,4",
		"matrix":           "lux,-1,0\n0.25,1,2\n-0.5,3,4\n",
		"matrix, tabs":     "v_deg\\h_deg lux\t0\t-1\n-0,5\t4\t3\n0,25\t2\t1\n",
		"matrix, swapped":  "h/v lx;0.25;-0.5\n-1;1;3\n0;2;4\n",
		"quoted, trailing": "\"h_deg\",\"v_deg\",\"lux\"\n-1,0.25,1,\n0,0.25,2,\n-1,-0.5,3,\n0,-0.5,4,\n",
	} {
		m, err := ReadGrid(strings.NewReader(text), 0)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if got := fmt.Sprint(m.Unit, " ", m.DistanceM, " ", m.Points); got != want || m.Grid == nil {
			t.Errorf("%s: %s, want %s", name, got, want)
		}
	}
	m, err := ReadGrid(strings.NewReader("h,v,cd\n0,0,5\n1,0,6\n0,1,7\n2,2,8\n"), 0)
	if err != nil || m.Unit != Candela || m.Grid != nil || len(m.Points) != 4 {
		t.Errorf("scattered points: %+v %v", m, err)
	}
}

// 1 % slope is 10 cm at 10 m and 0.5729 degree (facts/photometry.md 3.4); the
// R112 point B50L lies 149.8 cm left and 24.9 cm up at 25 m (1.3).
func TestWallPositions(t *testing.T) {
	for _, c := range []struct {
		head     string
		x, y, d  float64
		h, v, at float64
	}{
		{"x_cm,y_cm,lux", 0, -10, 10, 0, -0.5729, 0.0001},
		{"x_cm,y_cm,lux", -149.8, 24.9, 25, -3.43, 0.57, 0.005},
		{"x_mm,y_mm,lux", -1498, 249, 25, -3.43, 0.57, 0.005},
		{"x_in,y_in,lux", 0, -2.094, 7.62, 0, -0.4, 0.0002}, // 0.4 degree is 2.094 in at 25 ft
		{"x_m,y_m,lux", 5.0202, -0.2491, 25, 11.354, -0.56, 0.01},
	} {
		text := fmt.Sprintf("%s\n%g,%g,7\n0,1.5,1\n1,1.5,1\n1,2,1\n", c.head, c.x, c.y)
		m, err := ReadGrid(strings.NewReader(text), c.d)
		if err != nil {
			t.Errorf("%s: %v", c.head, err)
			continue
		}
		found := false
		for _, p := range m.Points {
			found = found || p.Value == 7 && near(p.H, c.h, c.at) && near(p.V, c.v, c.at)
		}
		if !found {
			t.Errorf("%s %g,%g at %g m: %v, want %g, %g", c.head, c.x, c.y, c.d, m.Points, c.h, c.v)
		}
	}
	// E = I cos^3 / d^2: at 45 degrees a wall shows a 2.83th of what faces the lamp,
	// and one scattered point is enough to know that.
	m, err := ReadGrid(strings.NewReader("x_m,y_m,lux\n0,0,100\n10,0,100\n0,1,5\n"), 10)
	if err != nil || m.Grid != nil {
		t.Fatal(m, err)
	}
	p, _, err := FromGrid(GridInput{Bulb: m}, Options{Beam: Low, Weights: DefaultWeights()})
	if err != nil || !near(deref(p.HotSpot.H), 45, 1e-9) || !near(*p.HotSpot.Candela, 10000*math.Pow(2, 1.5), 1e-6) {
		t.Errorf("45 degrees off: %v cd at %v, %v", deref(p.HotSpot.Candela), deref(p.HotSpot.H), err)
	}
	if _, err := ReadGrid(strings.NewReader("x_cm,y_cm,lux\n0,0,1\n1,1,2\n"), 0); err == nil {
		t.Error("positions without a distance were taken")
	}
}

func TestReadGridRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"":                                   "header",
		"h,v,lux\n1,2,3\n":                   "row",
		"h,v,lux\n0,0,1\n1,0,1\n2,0,1\n":     "1 row(s) and 3 column(s)",
		"h,v,lux\n0,0,1\n1,0,x\n":            "line 3, column 5",
		"lux;0;1\n0; 1;\u00b5x\n1;2;3\n":     "line 2, column 6",
		"h,v,lux\n0,0,1\n1,0,nan\n":          "line 3",
		"h,v,lux\n0,0,1\n1,0,inf\n":          "line 3",
		"h,v,lux\n0,0,1\n1,0,1e999\n":        "line 3",
		"h,v,lux\n0,0,1\n1,0,0x10\n":         "line 3",
		"h,v,lux\n0,0,1\n1,0,-4\n":           "line 3",
		"h,v,lux\n0,0,1\n0,91,1\n":           "beyond the sphere",
		"h,v,lux\n0,0,1\n181,0,1\n":          "beyond the sphere",
		"h,v,lux\n0,0,1\n1,1,1\n# x\n0,0,1":  "line 5: the same place as line 2",
		"h,v,lux\n0,0,1\n1,1\n":              "line 3",
		"h,v,lux\n0,0,1\n0,1,1,5\n-0,0,2\n":  "the same place",
		"x,y,lux\n0,0,1\n":                   "header",
		"lux,1,2\n0,1\n":                     "line 2: 2 cells",
		"lux mm cm,1,2\n0,1,1\n":             "cannot be used together",
		"a,b,c\n1,2,3\n":                     "header",
		"x_mm,y_cm,lux\n0,0,1\n5,5,5\n":      "header",
		strings.Repeat("9", MaxGridBytes+10): "too big",
	} {
		_, err := ReadGrid(strings.NewReader(text), 0)
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%.40q: %v, want %q", text, err, want)
		}
	}
	if _, err := ReadGrid(strings.NewReader("h,v,lux\n0,0,1\n1,1,1\n"), math.Inf(1)); err == nil {
		t.Error("an infinite distance was taken")
	}
}

func TestGridInterpolation(t *testing.T) {
	g := &Grid{X: []float64{0, 1, 4}, Y: []float64{0, 2}, Values: []float64{1, 10, 100, 100, 0, 7}}
	for _, c := range []struct{ h, v, want float64 }{{0, 0, 1}, {4, 2, 7}, {1, 0, 10}, {0, 2, 100}, {0.5, 2, 50}} {
		if got, ok := g.at(c.h, c.v, 0); !ok || !near(got, c.want, 1e-9) {
			t.Errorf("at %g, %g: %g, want %g", c.h, c.v, got, c.want)
		}
	}
	// Between positive neighbours the logarithm is straight.
	p := &Grid{X: []float64{0, 1}, Y: []float64{0, 1}, Values: []float64{1, 100, 1, 100}}
	if got, _ := p.at(0.5, 0.3, 0); !near(got, 10, 1e-9) {
		t.Errorf("half way from 1 to 100: %g, want 10", got)
	}
	if _, ok := p.at(1.1, 0, 0); ok {
		t.Error("read outside the grid")
	}
	// Angles to wall and back.
	r := rand.New(rand.NewPCG(3, 3))
	for range 100 {
		h, v := 120*r.Float64()-60, 120*r.Float64()-60
		if a, b := anglesOf(wallOf(h, v)); !near(a, h, 1e-9) || !near(b, v, 1e-9) {
			t.Errorf("%g, %g came back as %g, %g", h, v, a, b)
		}
	}
}

const iesText = `IESNA:LM-63-2002
[TEST] none
TILT=NONE
1 -1 2.0 3 2 3 2 0.1 0.1 0
0.5 1 55
-1 0 1
0 5
100 200 300
10,20,30
`

func TestReadIES(t *testing.T) {
	m, err := ReadIES(strings.NewReader(iesText))
	if err != nil {
		t.Fatal(err)
	}
	// Multiplier 2 and ballast factor 0.5 cancel; angles from 0 are mirrored to the left.
	want := "[{-5 -1 10} {0 -1 100} {5 -1 10} {-5 0 20} {0 0 200} {5 0 20} {-5 1 30} {0 1 300} {5 1 30}]"
	if got := fmt.Sprint(m.Points); got != want || m.Unit != Candela || m.Grid == nil {
		t.Errorf("%s, want %s", got, want)
	}
	included := strings.Replace(iesText, "TILT=NONE\n", "TILT=INCLUDE\n1\n2\n0 90\n1 1\n", 1)
	if other, err := ReadIES(strings.NewReader(included)); err != nil || fmt.Sprint(other.Points) != want {
		t.Errorf("tilt included: %v %v", other, err)
	}
	for name, change := range map[string][2]string{
		"type C":     {"3 2 3 2", "3 2 1 2"},
		"type B":     {"3 2 3 2", "3 2 2 2"},
		"type 9":     {"3 2 3 2", "3 2 9 2"},
		"no tilt":    {"TILT=NONE", ""},
		"tilt file":  {"TILT=NONE", "TILT=a.tlt"},
		"falling":    {"-1 0 1", "1 0 -1"},
		"sphere":     {"-1 0 1", "-1 0 91"},
		"short":      {"10,20,30", "10,20"},
		"long":       {"10,20,30", "10,20,30,40"},
		"word":       {"10,20,30", "10,a,30"},
		"nan":        {"10,20,30", "10,nan,30"},
		"negative":   {"10,20,30", "10,-20,30"},
		"fraction":   {"3 2 3 2", "3.5 2 3 2"},
		"one angle":  {"3 2 3 2", "1 2 3 2"},
		"huge":       {"3 2 3 2", "2001 2 3 2"},
		"multiplier": {"-1 2.0", "-1 0"},
	} {
		if _, err := ReadIES(strings.NewReader(strings.Replace(iesText, change[0], change[1], 1))); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
}

func FuzzReadGrid(f *testing.F) {
	f.Add([]byte("h_deg,v_deg,lux\n0,0,1\n1,1,2\n"), 10.0)
	f.Add([]byte("lux mm;-1;0\n0,25;1;2\n-0,5;3;4\n"), 3.0)
	f.Add([]byte("# only a comment"), 0.0)
	f.Fuzz(func(t *testing.T, text []byte, distance float64) {
		m, err := ReadGrid(bytes.NewReader(text), distance)
		checkMeasured(t, m, err)
	})
}

func FuzzReadIES(f *testing.F) {
	f.Add([]byte(iesText))
	f.Add([]byte("TILT=INCLUDE\n1 2 0 90 1 1\n1 1 1 2 2 3 1 1 1 1 1 1 1 0 1 0 1 1 2 3 4"))
	f.Fuzz(func(t *testing.T, text []byte) {
		m, err := ReadIES(bytes.NewReader(text))
		checkMeasured(t, m, err)
	})
}

// checkMeasured: whatever is read is finite, inside the sphere, sorted and complete,
// and the figures made of it neither panic nor turn into NaN.
func checkMeasured(t *testing.T, m Measured, err error) {
	if err != nil {
		return
	}
	for _, p := range m.Points {
		if math.IsNaN(p.Value) || math.IsInf(p.Value, 0) || p.Value < 0 || math.Abs(p.H) > 180 || math.Abs(p.V) > 90 {
			t.Fatalf("point %+v", p)
		}
	}
	if m.Grid != nil && len(m.Grid.Values) != len(m.Grid.X)*len(m.Grid.Y) {
		t.Fatal("the grid is not full")
	}
	if len(m.Points) > 500 {
		return
	}
	for _, kind := range []string{Low, High, Fog} {
		p, _, err := FromGrid(GridInput{Bulb: m}, Options{Beam: kind, Weights: DefaultWeights()})
		if err == nil && (math.IsNaN(p.Score) || p.Score < 0 || p.Score > 100 || math.IsNaN(deref(p.HotSpot.H)+deref(p.HotSpot.V))) {
			t.Fatalf("%s: %+v", kind, p)
		}
	}
}

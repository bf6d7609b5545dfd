package road

import (
	"encoding/csv"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"stillbright/data/store"
)

// near fails unless got is within tolerance of want; NaN never is.
func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.8g, want %.8g within %g", what, got, want, tolerance)
	}
}

// TestNear tests the tester: it must refuse what is off and what is NaN.
func TestNear(t *testing.T) {
	for _, c := range []struct {
		got, want float64
		ok        bool
	}{{1, 1.05, true}, {1, 1.2, false}, {0, 1, false}, {math.NaN(), 1, false}, {1, math.NaN(), false}, {math.Inf(1), 1, false}} {
		if ok := math.Abs(c.got-c.want) <= 0.1; ok != c.ok {
			t.Errorf("near(%g, %g) = %v", c.got, c.want, ok)
		}
	}
}

// must returns x or fails; value-and-error functions are wrapped in it.
func must(t *testing.T) func(float64, error) float64 {
	return func(x float64, err error) float64 {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
}

// outOfRange fails unless err is a *RangeError about the quantity, naming both ends.
func outOfRange(t *testing.T, err error, what string) {
	t.Helper()
	var r *RangeError
	if !errors.As(err, &r) {
		t.Errorf("%s: got error %v, want a *RangeError", what, err)
		return
	}
	if r.What != what || !strings.Contains(err.Error(), "must be "+short(r.Least)+" to "+short(r.Most)) {
		t.Errorf("error %q: want it to speak of %q and to name the range", err, what)
	}
}

// measuredLamp is the low beam of NHTSA test report 108-CAN-17-004, an H11 halogen
// lamp with a cutoff on the right (VOR), read at 100 ft (second hand).
func measuredLamp(t testing.TB) *PointField {
	t.Helper()
	file, err := os.Open(filepath.Join("..", "..", "testdata", "beams", "measured-halogen-low-beam.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	reader := csv.NewReader(file)
	reader.Comment = '#'
	rows, err := reader.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var points []BeamPoint
	for _, row := range rows[1:] {
		var figures [3]float64
		for i := range figures {
			if figures[i], err = strconv.ParseFloat(row[i], 64); err != nil {
				t.Fatal(err)
			}
		}
		points = append(points, BeamPoint{figures[0], figures[1], figures[2]})
	}
	field, err := NewPointField(points)
	if err != nil {
		t.Fatal(err)
	}
	return field
}

// known reads a shipped YAML file with the program's own strict reader.
func known(t testing.TB, name string, record any) {
	t.Helper()
	content, err := os.ReadFile(filepath.Join("..", "..", "data", "known", "yaml", name))
	if err != nil {
		t.Fatal(err)
	}
	if _, faults := store.Decode(name, content, record); len(faults) > 0 {
		t.Fatal(faults)
	}
}

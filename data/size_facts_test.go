package data_test

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"stillbright/data"
)

// same compares a figure of a table cell with the record; an empty cell must be a
// missing figure, never zero.
func same(t *testing.T, what, cell string, got *float64) {
	t.Helper()
	if cell == "" {
		if got != nil {
			t.Errorf("%s: %v where the table has no figure", what, *got)
		}
		return
	}
	want, err := strconv.ParseFloat(strings.TrimLeft(cell, "+-"), 64)
	if err != nil {
		t.Fatalf("%s: %v", what, err)
	}
	if got == nil || *got != want {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// half is one part of "driving/passing"; an empty cell stays empty.
func half(cell string, i int) string {
	if cell == "" {
		return ""
	}
	return strings.Split(cell, "/")[i]
}

// Every row of testdata/facts/light-sources.csv has its record with equal figures.
func TestSizesHoldTheTable(t *testing.T) {
	sizes, table := knownSizes(t), facts(t, "light-sources.csv")
	if len(table) < 40 || len(sizes) < len(table) {
		t.Fatalf("%d records for %d rows", len(sizes), len(table))
	}
	columns := map[string]string{"filaments": "filaments", "cap": "cap", "rated_W": "rated", "max_W_at_13.2V": "max", "flux_lm": "flux",
		"flux_tol_pct": "flux_tolerance", "test_V": "at", "light_centre_length_mm": "light_centre"}
	for _, row := range table {
		size, ok := data.SizeOf(sizes, row["category"])
		if !ok {
			t.Errorf("no record of %s", row["category"])
			continue
		}
		name := size.Category
		if size.Cap != row["cap"] {
			t.Errorf("%s: cap %q, want %q", name, size.Cap, row["cap"])
		}
		if filaments := size.Filaments; (filaments == nil) != (row["filaments"] == "") || (filaments != nil && strconv.Itoa(*filaments) != row["filaments"]) {
			t.Errorf("%s: filaments %v, want %q", name, filaments, row["filaments"])
		}
		plus, minus := row["flux_tol_pct"], row["flux_tol_pct"]
		if strings.Contains(plus, "/") {
			plus, minus, _ = strings.Cut(plus, "/")
		}
		same(t, name+" flux upwards", plus, size.FluxTolPlusPct)
		same(t, name+" flux downwards", minus, size.FluxTolMinusPct)
		same(t, name+" test voltage", row["test_V"], size.AtV)
		same(t, name+" light centre", row["light_centre_length_mm"], size.LightCentreMM)
		if dual := strings.Contains(row["functions"], "driving/passing"); dual != size.Dual {
			t.Errorf("%s: dual %v", name, size.Dual)
		}
		if discharge := strings.Contains(row["functions"], "NOT halogen"); discharge != size.Discharge {
			t.Errorf("%s: discharge %v", name, size.Discharge)
		}
		checkFunctions(t, size, row)
		checkMarks(t, size, row["confidence"], columns)
	}
}

func checkFunctions(t *testing.T, size data.Size, row map[string]string) {
	t.Helper()
	order := []string{"any"}
	switch {
	case row["category"] == "9009":
		order = nil
	case size.Dual:
		order = []string{"high", "low"}
	case strings.Contains(row["functions"], "driving/daytime"):
		order = []string{"high", "drl"}
	}
	if len(size.Functions) != len(order) {
		t.Fatalf("%s: %d functions, want %v", size.Category, len(size.Functions), order)
	}
	for i, beam := range order {
		function := size.Functions[i]
		if function.Beam != beam {
			t.Errorf("%s: function %d is %s, want %s", size.Category, i, function.Beam, beam)
		}
		same(t, size.Category+" rated "+beam, half(row["rated_W"], i), function.RatedW)
		same(t, size.Category+" max "+beam, half(row["max_W_at_13.2V"], i), function.MaxW)
		same(t, size.Category+" flux "+beam, half(row["flux_lm"], i), function.FluxLm)
	}
}

// checkMarks compares the confidence and the fields marked as read. How the filament
// lies and the tip come from another list and are left out.
func checkMarks(t *testing.T, size data.Size, mark string, columns map[string]string) {
	t.Helper()
	want, fields := "", []string{}
	switch {
	case strings.HasPrefix(mark, "mixed: read="):
		want = "mixed"
		read, _, _ := strings.Cut(strings.TrimPrefix(mark, "mixed: read="), ";")
		for _, column := range strings.Split(read, "+") {
			fields = append(fields, columns[column])
		}
	case mark == "read in source":
		want = "read"
		for _, key := range columns {
			fields = append(fields, key)
		}
	case mark == "memory-unverified":
		want = "memory"
	case mark == "not found":
		want = "not_found"
	}
	if size.Confidence != want {
		t.Errorf("%s: confidence %s, want %s", size.Category, size.Confidence, want)
	}
	got := slices.DeleteFunc(slices.Clone(size.ReadFields), func(field string) bool { return field == "filament" || field == "black_tip" })
	slices.Sort(got)
	slices.Sort(fields)
	if !slices.Equal(got, fields) {
		t.Errorf("%s: read fields %v, want %v", size.Category, got, fields)
	}
}

// Every row of testdata/facts/light-sources-us-12v8.csv has its record.
func TestUSFiguresHoldTheTable(t *testing.T) {
	figures, table := knownUS(t), facts(t, "light-sources-us-12v8.csv")
	sizes := knownSizes(t)
	if len(figures) != len(table) {
		t.Fatalf("%d records for %d rows", len(figures), len(table))
	}
	coatings := map[string]string{"none": "none", "black cap": "black_tip", "black stripes": "black_stripes"}
	for i, row := range table {
		figure := figures[i]
		name := figure.Type
		if name != row["type"] || figure.Trade != row["trade"] || figure.Coating != coatings[row["coating"]] || figure.Confidence != "read_secondary" {
			t.Errorf("row %d: %+v, want %v", i, figure, row)
		}
		same(t, name+" max", row["max_W_at_12.8V"], figure.MaxW)
		same(t, name+" flux", row["flux_lm_at_12.8V"], figure.FluxLm)
		same(t, name+" voltage", "12.8", figure.AtV)
		tolerance, unit, _ := strings.Cut(row["flux_tol"], " ")
		lumens, percent := tolerance, ""
		if unit == "%" {
			lumens, percent = "", tolerance
		}
		same(t, name+" tolerance", lumens, figure.FluxTolLm)
		same(t, name+" tolerance in percent", percent, figure.FluxTolPct)
		if _, ok := data.SizeOf(sizes, figure.Category); !ok && name != "9500" {
			t.Errorf("%s: category %q has no record", name, figure.Category)
		}
	}
	// The two lists are never at one voltage, save for the US types themselves.
	for _, size := range sizes {
		if us := slices.Contains([]string{"HB1", "HB2", "HB5"}, size.Category); size.AtV != nil && (*size.AtV == 12.8) != us {
			t.Errorf("%s is at %v V", size.Category, *size.AtV)
		}
	}
}

// Flux and power of the UN figures at 13.2 V against the US figures at 12.8 V:
// light-sources.md section 1c. By the rule of thumb that flux goes as voltage to the
// 3.4 and power to the 1.6 (from memory) the ratios should be near 1.11 and 1.05.
func TestFluxRatios(t *testing.T) {
	sizes, figures := knownSizes(t), knownUS(t)
	pairs := []struct {
		un, us, unBeam, usBeam string
		flux, power            float64
	}{
		{"H1", "H1", "low", "any", 1.099, 1.046}, {"H3", "H3", "fog", "any", 1.107, 1.046}, {"H7", "H7", "low", "any", 1.111, 1.043},
		{"H8", "H8", "fog", "any", 1.096, 1.049}, {"H9", "H9", "high", "any", 1.050, 1.043}, {"H11", "H11", "low", "any", 1.080, 1.051},
		{"HB3", "HB3", "high", "any", 1.094, 1.043}, {"HB4", "HB4", "low", "any", 1.095, 1.033},
		{"H4", "HB2", "high", "high", 1.100, 1.042}, {"H4", "HB2", "low", "low", 1.099, 1.046},
	}
	for _, pair := range pairs {
		size, _ := data.SizeOf(sizes, pair.un)
		function, ok := size.FunctionOf(pair.unBeam)
		i := slices.IndexFunc(figures, func(f data.USFigure) bool { return f.Category == pair.us && f.Beam == pair.usBeam })
		if !ok || i < 0 {
			t.Fatalf("%s %s: no pair", pair.un, pair.unBeam)
		}
		flux, power := *function.FluxLm / *figures[i].FluxLm, *function.MaxW / *figures[i].MaxW
		if math.Abs(flux-pair.flux) > 0.0006 || math.Abs(power-pair.power) > 0.0006 {
			t.Errorf("%s %s: flux %.4f, power %.4f; want %.3f, %.3f", pair.un, pair.unBeam, flux, power, pair.flux, pair.power)
		}
		if flux > math.Pow(13.2/12.8, 3.4)+0.01 || power > math.Pow(13.2/12.8, 1.6)+0.01 {
			t.Errorf("%s: ratios %.3f, %.3f are above the rule of thumb", pair.un, flux, power)
		}
	}
}

package sheet

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/data/store"
)

const sheets = "../../testdata/sheets"

// benchOf is a catalog with rigs and no bulbs.
func benchOf() data.Catalog {
	rig := func(id, size, beam, housing string) data.Rig {
		return data.Rig{Format: 1, ID: id, Name: size + " " + housing + " bench lamp", Size: size, Beam: beam, Housing: housing, Source: "test"}
	}
	return data.Catalog{Name: "bench", Rigs: []data.Rig{
		rig("h11-projector", "H11", "low", "projector"), rig("h11-reflector", "H11", "low", "reflector"),
		rig("h7-projector", "H7", "low", "projector"), rig("h4-reflector", "H4", "both", "reflector"),
		rig("hb3-projector", "HB3", "high", "projector"), rig("hb3-reflector", "HB3", "high", "reflector"), rig("hb4-reflector", "HB4", "low", "reflector"),
	}}
}

func knowledge() store.Knowledge {
	return store.Knowledge{Sizes: known.Sizes(), Places: known.Places()}
}

// messy names the files and what a user has to add on the command line.
var messy = []struct {
	file  string
	given Mapping
}{
	{"01_shop_wide.csv", Mapping{}},
	{"02_proj_and_reflector.csv", Mapping{}},
	{"03_deutsch.csv", Mapping{}},
	{"04_tabs_ragged.tsv", Mapping{}},
	{"05_merged_titles.csv", Mapping{}},
	{"06_fill_down.csv", Mapping{FillDown: true}},
	{"07_units_in_cells.csv", Mapping{Rigs: []string{"h11-projector"}, Currency: "USD"}},
	{"08_typos.csv", Mapping{}},
	{"09_sections_and_repeats.csv", Mapping{}},
	{"10_bad_cells.csv", Mapping{}},
	{"11_claims_and_colour.csv", Mapping{Rigs: []string{"h11-reflector"}}},
	{"12_latin1.csv", Mapping{Rigs: []string{"h11-projector"}}},
	{"13_low_and_high.csv", Mapping{}},
	{"14_stock_rows.csv", Mapping{}},
	{"15_a_row_a_minute.csv", Mapping{}},
	{"16_turned.csv", Mapping{}},
	{"17_one_figure_for_two.csv", Mapping{}},
	{"18_lux_title.csv", Mapping{}},
	{"19_marks.csv", Mapping{Rigs: []string{"h11-projector"}}},
	{"32_times_under_heads.csv", Mapping{Date: "2026-03-12", Rigs: []string{"h7-projector"}, Currency: "EUR"}},
	{"33_cold_and_hot_rows.csv", Mapping{FillDown: true}},
	{"34_units_under_heads.csv", Mapping{Decimal: "comma"}},
	{"35_times_first_of_many.csv", Mapping{}},
	{"36_no_head_beside_lux.csv", Mapping{At: new(float64)}},
	{"26_sections_by_lamp.csv", Mapping{}},
	{"27_second_table.csv", Mapping{}},
	{"28_cells_tell_the_kind.csv", Mapping{NewRigs: true}},
	{"30_names_alike.csv", Mapping{NewRigs: true}},
	{"31_unsure_days.csv", Mapping{}},
	{"29_points_that_may_be_thousands.csv", Mapping{}},
	{"37_scores_by_eye.csv", Mapping{}},
	{"23_bench_book.xlsx", Mapping{}},
	{"24_turned_book.xlsx", Mapping{}},
	{"25_house_sheet.xlsx", Mapping{}},
}

// TestMessySheets reads spreadsheets as people write them and compares with the
// golden result; UPDATE_SHEETS=1 writes it anew. A second run adds nothing.
func TestMessySheets(t *testing.T) {
	for _, m := range messy {
		t.Run(m.file, func(t *testing.T) {
			content, err := os.ReadFile(filepath.Join(sheets, m.file))
			if err != nil {
				t.Fatal(err)
			}
			golden(t, m.file, content, m.given)
		})
	}
}

func golden(t *testing.T, file string, content []byte, given Mapping) {
	t.Helper()
	c := benchOf()
	got := imported(t, file, content, given, &c)
	path := filepath.Join(sheets, file+".golden")
	if os.Getenv("UPDATE_SHEETS") != "" {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	before := encodeCompact(c)
	again := imported(t, file, content, given, &c)
	if encodeCompact(c) != before || strings.Contains(again, StateAdded) {
		t.Errorf("a second run adds something:\n%s", again)
	}
}

// imported is what a table becomes, as text.
func imported(t *testing.T, file string, content []byte, given Mapping, c *data.Catalog) string {
	t.Helper()
	table, err := ReadTable(strings.NewReader(string(content)), file, "")
	if err != nil {
		t.Fatal(err)
	}
	read, err := Interpret(table, given, *c, known.Sizes())
	if err != nil {
		t.Fatal(err)
	}
	var out strings.Builder
	for _, column := range read.Mapping.Columns {
		fmt.Fprintf(&out, "column %q: %s\n", column.Head, encodeCompact(Column{Means: column.Means, Unit: column.Unit, At: column.At, Housing: column.Housing, Beam: column.Beam}))
	}
	faults := slices.Clone(read.Faults)
	for _, o := range Apply(c, file, read.Entries, knowledge(), Choices{}) {
		if o.Fault != nil {
			faults = append(faults, *o.Fault)
			continue
		}
		fmt.Fprintf(&out, "row %s %s: %s\n", strings.Trim(fmt.Sprint(o.Lines), "[]"), o.State, o.ID)
		for _, d := range o.Differences {
			fmt.Fprintf(&out, "  differs: %s %s: %s on file, %s in the row\n", d.Of, d.What, d.OnFile, d.Row)
		}
	}
	for _, b := range c.Bulbs {
		fmt.Fprintf(&out, "bulb %s\n", encodeCompact(b))
	}
	for _, skip := range read.Skipped {
		fmt.Fprintf(&out, "row %d passed over: %s\n", skip.Line, skip.Why)
	}
	for _, fault := range faults {
		fmt.Fprintf(&out, "fault %s", data.Faults{fault}.Error())
		out.WriteByte('\n')
	}
	for _, note := range read.Notes {
		fmt.Fprintf(&out, "note: %s\n", note)
	}
	return out.String()
}

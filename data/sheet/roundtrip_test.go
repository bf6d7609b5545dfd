package sheet

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/data/known/knowntest"
	"stillbright/data/quantity"
	"stillbright/data/store"
)

// awkward are texts that a table loses easily.
var awkward = []string{"plain", "=1+1", "+44", "-5", "@home", "'quoted", "''", " lead", "trail ", "a;b,c\td", `say "hi"`, "two\nlines", "H11", "007", "1,5", "2026-01-02", "Total", "n/a", "-", "?", "é ü 光 🔦", "soft\u00adhyphen", "\u200bzero", "x" + strings.Repeat(" long", 50), "true", "1e5", "Average of all"}

func anyText(rng *rand.Rand) string { return awkward[rng.IntN(len(awkward))] }

// fill makes a legal record by the tags of its fields.
func fill(rng *rand.Rand, v reflect.Value, tag reflect.StructTag) {
	if RecordOptional(tag) && rng.IntN(3) == 0 {
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fill(rng, v.Elem(), reflect.StructTag(strings.ReplaceAll(string(tag), "yaml:", "x:")))
	case reflect.Slice:
		n := 1 + rng.IntN(3)
		v.Set(reflect.MakeSlice(v.Type(), n, n))
		for i := range n {
			fill(rng, v.Index(i), reflect.StructTag(strings.ReplaceAll(string(tag), "yaml:", "x:")))
		}
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[quantity.Money]() {
			v.Set(reflect.ValueOf(quantity.Money{Amount: float64(rng.IntN(30000)) / 100, Currency: []string{"USD", "EUR", "GBP"}[rng.IntN(3)]}))
			return
		}
		for i := range v.NumField() {
			if RecordKey(v.Type().Field(i)) != "" {
				fill(rng, v.Field(i), v.Type().Field(i).Tag)
			}
		}
	case reflect.String:
		switch words := tag.Get("enum"); {
		case v.Type() == reflect.TypeFor[data.Date]():
			v.SetString(fmt.Sprintf("20%02d-%02d-%02d", rng.IntN(30), 1+rng.IntN(12), 1+rng.IntN(28)))
		case words != "":
			list := strings.Split(words, "|")
			v.SetString(list[rng.IntN(len(list))])
		case tag.Get("id") != "":
			v.SetString(fmt.Sprintf("id-%d", rng.IntN(1000)))
		default:
			v.SetString(anyText(rng))
		}
	case reflect.Bool:
		v.SetBool(rng.IntN(2) == 0)
	case reflect.Int, reflect.Float64:
		low, high := 0.0, 1000.0
		if text := tag.Get("min"); text != "" {
			fmt.Sscan(text, &low)
		}
		if text := tag.Get("max"); text != "" {
			fmt.Sscan(text, &high)
		}
		x := low + rng.Float64()*(high-low)
		if v.Kind() == reflect.Int {
			v.SetInt(int64(x))
		} else {
			v.SetFloat(x)
		}
	}
}

// generated is a catalog that the store would take: records of awkward values.
func generated(t testing.TB, seed int) data.Catalog {
	t.Helper()
	rng := rand.New(rand.NewPCG(uint64(seed), 11))
	c := data.Catalog{Name: anyText(rng)}
	for i := range 3 {
		var r data.Rig
		fill(rng, reflect.ValueOf(&r).Elem(), "")
		r.Format, r.ID, r.Size, r.Beam, r.Stock = 1, fmt.Sprintf("rig-%d", i), "H11", "low", nil
		c.Rigs = append(c.Rigs, r)
	}
	for i := range 1 + rng.IntN(5) {
		var b data.Bulb
		fill(rng, reflect.ValueOf(&b).Elem(), "")
		b.Format, b.ID, b.Size, b.AlsoFits = 1, fmt.Sprintf("bulb-%d", i), []string{"H11", "9005", "H7"}[rng.IntN(3)], nil
		if b.Price == nil {
			b.Per = ""
		}
		b.Supply.VoltsMin = nil
		for j := range b.Lots {
			b.Lots[j].Name, b.Lots[j].Bought = fmt.Sprintf("%s %d", anyText(rng), j), ""
			for k := range b.Lots[j].Tests {
				x := &b.Lots[j].Tests[k]
				x.Rig, x.Beam, x.Pattern, x.Date = c.Rigs[rng.IntN(3)].ID, "", nil, data.Date(fmt.Sprintf("2026-%02d-%02d", k+1, j+1))
				if rng.IntN(2) == 0 {
					x.Pattern = &data.PatternRecord{Method: "photo", Parts: &data.Parts{Dark: new(float64)}, Notes: []string{anyText(rng)}}
				}
				for n := range x.Readings {
					x.Readings[n].At = float64(n) * (1 + rng.Float64())
				}
				slices.SortFunc(x.Readings, func(a, b data.Reading) int { return int(1e6 * (a.At - b.At)) })
			}
		}
		if _, err := store.Encode(b); err != nil {
			t.Fatalf("seed %d makes an illegal bulb: %v", seed, err)
		}
		c.Bulbs = append(c.Bulbs, b)
	}
	return c
}

// TestRoundTrip exports generated catalogs and imports them into an empty one:
// the same bulbs, lots, tests and used rigs, in CSV, XLSX and JSON.
func TestRoundTrip(t *testing.T) {
	seeds := 20
	if n, err := strconv.Atoi(os.Getenv("SHEET_SEEDS")); err == nil {
		seeds = n
	}
	for seed := range seeds {
		c := generated(t, seed)
		for _, form := range []string{FormCSV, FormXLSX} {
			content, err := Export(c, form, known.Sizes())
			if err != nil {
				t.Fatalf("seed %d %s: %v", seed, form, err)
			}
			back := data.Catalog{}
			importTable(t, seed, form, content, &back)
			sameBulbs(t, seed, form, c, back)
			for _, rig := range back.Rigs {
				if want, _ := c.Rig(rig.ID); encodeCompact(want) != encodeCompact(rig) {
					t.Fatalf("seed %d %s: rig\n%s\nwant\n%s", seed, form, encodeCompact(rig), encodeCompact(want))
				}
			}
		}
		content, err := WriteRecords(c)
		if err != nil {
			t.Fatal(err)
		}
		read, err := ReadRecords(bytes.NewReader(content), "x.json")
		if err != nil {
			t.Fatal(err)
		}
		back := data.Catalog{Name: read.Catalog.Name}
		for _, o := range ApplyRecords(&back, read, knowledge(), Choices{}) {
			if o.Fault != nil {
				t.Fatalf("seed %d json: %v", seed, o.Fault)
			}
		}
		if encodeCompact(back) != encodeCompact(c) {
			t.Fatalf("seed %d json:\n%s\nwant\n%s", seed, encodeCompact(back), encodeCompact(c))
		}
	}
}

func importTable(t *testing.T, seed int, form string, content []byte, into *data.Catalog) {
	t.Helper()
	table, err := ReadTable(bytes.NewReader(content), "x."+form, "")
	if err != nil {
		t.Fatalf("seed %d %s: %v", seed, form, err)
	}
	read, err := Interpret(table, Mapping{}, *into, known.Sizes())
	if err != nil || len(read.Faults) > 0 {
		t.Fatalf("seed %d %s: %v %v", seed, form, err, read.Faults)
	}
	for _, o := range Apply(into, "x."+form, read.Entries, knowledge(), Choices{}) {
		if o.Fault != nil {
			t.Fatalf("seed %d %s: %v", seed, form, o.Fault)
		}
	}
}

func sameBulbs(t *testing.T, seed int, form string, want, got data.Catalog) {
	t.Helper()
	if len(want.Bulbs) != len(got.Bulbs) {
		t.Fatalf("seed %d %s: %d bulbs, want %d", seed, form, len(got.Bulbs), len(want.Bulbs))
	}
	for i := range want.Bulbs {
		if a, b := encodeCompact(want.Bulbs[i]), encodeCompact(got.Bulbs[i]); a != b {
			t.Fatalf("seed %d %s:\n%s\nwant\n%s", seed, form, b, a)
		}
	}
}

// TestDemoRoundTrip takes the whole demo catalog through a table.
func TestDemoRoundTrip(t *testing.T) {
	c := knowntest.Demo()
	for _, form := range []string{FormCSV, FormXLSX} {
		content, err := Export(c, form, known.Sizes())
		if err != nil {
			t.Fatal(err)
		}
		var back data.Catalog
		importTable(t, 0, form, content, &back)
		sameBulbs(t, 0, form, c, back)
	}
}

// TestFormulasAreGuarded: no text cell of a table begins as a formula does (the
// signs are those of OWASP, "CSV Injection": = + - @ tab CR), a workbook holds no
// formula, and the same text comes back.
func TestFormulasAreGuarded(t *testing.T) {
	c := benchOf()
	c.Bulbs = []data.Bulb{{Format: 1, ID: "x", Name: "=cmd|' /C calc'!A0", Kind: "led", Size: "H11", Source: "@me", Notes: []string{"+1", "-1", "'quoted", "''=twice", "plain"},
		Lots: []data.Lot{{Name: "=HYPERLINK(\"x\")", Tests: []data.Test{{Rig: "h11-projector", Date: "2026-01-02", Readings: []data.Reading{{At: 0, Lux: 700}}, Notes: []string{"@SUM(A1)", "=1+1", "\t=1+1"}}}}}}}
	c.Rigs = []data.Rig{{Format: 1, ID: "h11-projector", Name: "=1+1", Size: "H11", Beam: "low", Housing: "projector", Source: "+x"}}
	for _, form := range []string{FormCSV, FormXLSX} {
		content, err := Export(c, form, known.Sizes())
		if err != nil {
			t.Fatal(err)
		}
		table, err := ReadTable(bytes.NewReader(content), "x."+form, "")
		if err != nil {
			t.Fatal(err)
		}
		guarded := 0
		for _, cell := range table.Rows[1].Cells {
			if cell != "" && strings.ContainsRune(formulaStarts, rune(cell[0])) {
				t.Errorf("%s: cell %q begins as a formula", form, cell)
			}
			if strings.HasPrefix(cell, "'") {
				guarded++
			}
		}
		if guarded < 4 {
			t.Errorf("%s: %d cells are guarded, want the name, source, lot and notes at least", form, guarded)
		}
		if form == FormXLSX {
			archive, err := zip.NewReader(bytes.NewReader(content), int64(len(content)))
			if err != nil {
				t.Fatal(err)
			}
			for _, file := range archive.File {
				part, err := file.Open()
				if err != nil {
					t.Fatal(err)
				}
				text, err := io.ReadAll(part)
				if err != nil || bytes.Contains(text, []byte("<f>")) || bytes.Contains(text, []byte("<f ")) {
					t.Errorf("%s holds a formula, or cannot be read: %v", file.Name, err)
				}
			}
		}
		back := data.Catalog{Rigs: c.Rigs}
		importTable(t, 0, form, content, &back)
		sameBulbs(t, 0, form, c, back)
	}
}

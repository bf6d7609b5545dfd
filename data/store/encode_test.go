package store

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"stillbright/data"
	"stillbright/data/quantity"
)

func p[T any](value T) *T { return &value }

func encodesBack[T any](t *testing.T, count int) {
	t.Helper()
	for seed := range count {
		want := record[T](random(seed), []float64{0, 0.3, 0.9}[seed%3])
		text, err := Encode(&want)
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		var got T
		if _, faults := Decode("again.yaml", text, &got); len(faults) > 0 {
			t.Fatalf("seed %d: %v\n%s", seed, faults, text)
		}
		if !same(reflect.ValueOf(got), reflect.ValueOf(want)) {
			t.Fatalf("seed %d: read back\n%+v\nwant\n%+v\n%s", seed, got, want, text)
		}
		again, err := Encode(got)
		if err != nil || string(again) != string(text) {
			t.Fatalf("seed %d: a second writing differs: %v\n%s\n%s", seed, err, text, again)
		}
	}
}

// Decode(Encode(x)) is x, for every kind of record with every field.
func TestEncodeReadsBack(t *testing.T) {
	count := 45
	if testing.Short() {
		count = 20
	}
	encodesBack[data.Bulb](t, count)
	encodesBack[data.Rig](t, count)
	encodesBack[data.Car](t, count)
	encodesBack[data.CatalogHead](t, count)
	encodesBack[data.Rules](t, 30)
	encodesBack[data.CheckRules](t, 30)
	encodesBack[data.SizeFile](t, 30)
	encodesBack[data.LimitTables](t, 30)
	encodesBack[data.Words](t, 30)
}

// The comparison of these tests has to see a difference in any field.
func TestSameSeesEveryField(t *testing.T) {
	base := record[data.Bulb](random(1), 0)
	var walk func(v reflect.Value, path string)
	walk = func(v reflect.Value, path string) {
		before := clone(reflect.ValueOf(base))
		switch v.Kind() {
		case reflect.Pointer:
			walk(v.Elem(), path)
		case reflect.Slice:
			walk(v.Index(0), path+"[0]")
		case reflect.Struct:
			for _, f := range fieldsOf(v.Type()) {
				walk(v.Field(f.index), path+"."+f.key)
			}
			if isScalar(v.Type()) {
				v.Field(0).SetFloat(v.Field(0).Float() + 1)
			} else {
				return
			}
		case reflect.String:
			v.SetString(v.String() + "x")
		case reflect.Bool:
			v.SetBool(!v.Bool())
		case reflect.Int:
			v.SetInt(v.Int() + 1)
		case reflect.Float64:
			v.SetFloat(v.Float() + 1)
		}
		if !isScalar(v.Type()) || v.Kind() == reflect.Pointer {
			return
		}
		if same(before, reflect.ValueOf(base)) {
			t.Errorf("%s: a change was not seen", path)
		}
	}
	walk(reflect.ValueOf(&base).Elem(), "")
}

func TestEncodeLayout(t *testing.T) {
	bulb := data.Bulb{
		Format: 1, ID: "tarn-h11", Name: "Tarn: one", Kind: "led", Size: "H11", AlsoFits: []string{"H8", "H9"},
		Price: &quantity.Money{Amount: 49.5, Currency: "USD"}, Per: "pair", Claims: data.Claims{Lumens: p(1350.0)},
		Build: data.Build{Rear: p(57.15), Cup: p(false)}, Source: "own bench",
		Lots: []data.Lot{{Name: "2403", Bought: "2026-01-05", Tests: []data.Test{{
			Rig: "proj", Date: "2026-02-01", Volts: p(13.2), Stock: data.StockReading{First: p(1001.0), Volts: p(13.2)},
			Readings: []data.Reading{{At: 0, Lux: 1001}, {At: 30, Lux: 862.5}}, Body: p(88.0), Cap: "off",
			Pattern: &data.PatternRecord{Method: "grade", Marks: &data.Marks{Cutoff: p(3), Dark: p(0)}},
			Notes:   []string{"fan audible", "a second note, with a comma"},
		}}}},
	}
	got, err := Encode(bulb)
	if err != nil {
		t.Fatal(err)
	}
	want := `format: 1
id: tarn-h11
name: "Tarn: one"
kind: led
size: H11
also_fits: [H8, H9]
price: 49.50USD
per: pair
claims:
  lumens: 1350
build:
  cup: false
  rear_length: 57.15mm
lots:
  - lot: "2403"
    bought: 2026-01-05
    tests:
      - rig: proj
        date: 2026-02-01
        volts: 13.2
        stock: {first: 1001, volts: 13.2}
        readings:
          - {at: 0min, lux: 1001}
          - {at: 30min, lux: 862.5}
        cap: off
        body: 88C
        pattern:
          method: grade
          marks: {cutoff: 3, dark: 0}
        notes:
          - fan audible
          - a second note, with a comma
source: own bench
`
	if string(got) != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

func TestEncodeRefuses(t *testing.T) {
	good := func() data.Car {
		return data.Car{Format: 1, ID: "c", Name: "c", Source: "s", Lamps: []data.Lamp{{Size: "H7", Beam: "low"}}}
	}
	for want, spoil := range map[string]func(*data.Car){
		"volts: ":            func(c *data.Car) { c.Volts = p(math.NaN()) },
		"a plain number":     func(c *data.Car) { c.Volts = p(math.Inf(1)) },
		"must be from 5":     func(c *data.Car) { c.Volts = p(3.0) },
		"is not a short":     func(c *data.Car) { c.ID = "../up" },
		"must be hot":        func(c *data.Car) { c.Climate = "tropical" },
		"control characters": func(c *data.Car) { c.Notes = []string{"\x1b[2J"} },
		"name: is empty":     func(c *data.Car) { c.Name = "" },
		"longer than":        func(c *data.Car) { c.Name = strings.Repeat("x", 5000) },
		"lamps[0].size":      func(c *data.Car) { c.Lamps[0].Size = "" },
	} {
		bad := good()
		spoil(&bad)
		if want == "a plain number" {
			want = "volts: "
		}
		text, err := Encode(bad)
		if err == nil || !strings.Contains(err.Error(), want) || text != nil {
			t.Errorf("error %v, want it to say %q", err, want)
		}
		if _, ok := err.(data.Faults); !ok {
			t.Errorf("%q: error is a %T, want faults", want, err)
		}
	}
	if _, err := Encode(good()); err != nil {
		t.Error(err)
	}
	bulb := data.Bulb{Format: 1, ID: "b", Name: "b", Kind: "led", Size: "H7", Source: "s", Price: &quantity.Money{Amount: 1.005, Currency: "USD"}}
	if _, err := Encode(bulb); err == nil || !strings.Contains(err.Error(), "cannot hold exactly") {
		t.Errorf("a price of half a cent: %v", err)
	}
	for _, what := range []any{7, (*data.Car)(nil), []data.Car{good()}} {
		if _, err := Encode(what); err == nil {
			t.Errorf("%T was taken for a record", what)
		}
	}
}

// The short way of reading a number gives what package quantity gives.
func TestPlainNumber(t *testing.T) {
	f := func(unit string, bare bool) field {
		return field{unit: unit, bare: bare, min: p(0.0), max: p(300.0)}
	}
	taken := 0
	for _, unit := range []string{"mm", "m", "min", "lx", "V", "W", "%", "deg", "g", "cd", "A", "lm"} {
		for _, bare := range []bool{true, false} {
			for seed := range 200 {
				text := numberText(within(random(seed), f(unit, bare)))
				for _, written := range []string{text, text + unit, text + " " + unit, "0" + text + unit, text + "cm", "." + text, text + "." + unit} {
					value, ok := plainNumber(written, f(unit, bare))
					if !ok {
						continue
					}
					taken++
					want, err := quantity.Parse(written, unit)
					if bare {
						want, err = quantity.ParseBare(written, unit)
					}
					if err != nil || value != want {
						t.Fatalf("%q in %s: %v, want %v, %v", written, unit, value, want, err)
					}
				}
			}
		}
	}
	if taken < 2000 {
		t.Errorf("the short way was taken %d times only", taken)
	}
	signed := field{unit: "C", min: p(-40.0), max: p(60.0)}
	for _, text := range []string{"20C", "-5C"} {
		if _, ok := plainNumber(text, signed); ok {
			t.Errorf("%q: a temperature was taken the short way", text)
		}
	}
}

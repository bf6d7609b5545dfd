package store

import (
	"math/rand/v2"
	"reflect"
	"testing"

	"stillbright/data"
	"stillbright/data/invented"
)

// packed packs and unpacks a record.
func packed(t *testing.T, code *coder, record any) any {
	t.Helper()
	w := newPacker()
	code.write(w, reflect.ValueOf(record))
	r := &unpacker{bytes: w.bytes, texts: w.texts}
	back := reflect.New(reflect.TypeOf(record))
	code.read(r, back.Elem())
	if r.err != nil || len(r.bytes) > 0 {
		t.Fatalf("%v, %d bytes left of %+v", r.err, len(r.bytes), record)
	}
	return back.Elem().Interface()
}

// Every field of a record comes back as it was, filled or missing.
func TestPackedRecords(t *testing.T) {
	code := newCoders()
	for seed := range 300 {
		rng := random(seed)
		missing := float64(seed%4) / 3
		for _, one := range []struct {
			code   *coder
			record any
		}{
			{code.bulb, record[data.Bulb](rng, missing)}, {code.rig, record[data.Rig](rng, missing)}, {code.car, record[data.Car](rng, missing)},
		} {
			if back := packed(t, one.code, one.record); !reflect.DeepEqual(back, one.record) {
				t.Fatalf("seed %d: packed as\n%+v\ncame back as\n%+v", seed, one.record, back)
			}
		}
	}
}

// A list that is there and empty is not one that is missing.
func TestPackedEmptyList(t *testing.T) {
	bulb := data.Bulb{Format: 1, ID: "b", Name: "b", Kind: data.KindLED, Size: "H11", Source: "s", Lots: []data.Lot{}}
	if back := packed(t, newCoders().bulb, bulb).(data.Bulb); back.Lots == nil || back.Notes != nil {
		t.Errorf("%#v", back)
	}
}

// A record without its format comes from no file that was read.
func TestPackedWithoutFormat(t *testing.T) {
	code, bulb := newCoders().bulb, data.Bulb{ID: "b", Name: "b", Kind: data.KindLED, Size: "H11", Source: "s"}
	w := newPacker()
	code.write(w, reflect.ValueOf(bulb))
	r := &unpacker{bytes: w.bytes, texts: w.texts}
	if code.read(r, reflect.ValueOf(&bulb).Elem()); r.err == nil {
		t.Error("a record without format was taken")
	}
}

// Bytes that were changed give a record that the reader of files takes too, or
// an error, and never a panic.
func TestPackedHostile(t *testing.T) {
	code := newCoders().bulb
	catalog := invented.Catalog(16)
	taken, refused := 0, 0
	for seed := range 1500 {
		rng := random(seed)
		w := newPacker()
		code.write(w, reflect.ValueOf(catalog.Bulbs[seed%len(catalog.Bulbs)]))
		spoil(rng, w.bytes)
		if len(w.texts) > 0 && rng.IntN(2) == 0 {
			w.texts[rng.IntN(len(w.texts))] = []string{"", "\x1b[31m", "a\u202eb", "2026-13-01", "H11", "../x"}[rng.IntN(6)]
		}
		r := &unpacker{bytes: w.bytes, texts: w.texts}
		var back data.Bulb
		code.read(r, reflect.ValueOf(&back).Elem())
		if r.err != nil {
			refused++
			continue
		}
		taken++
		text, err := Encode(back)
		if err != nil {
			t.Fatalf("seed %d: %v of %+v", seed, err, back)
		}
		var again data.Bulb
		if _, faults := Decode("b.yaml", text, &again); len(faults) > 0 {
			t.Fatalf("seed %d: took\n%s\nwhich the reader refuses:\n%v", seed, text, faults)
		}
	}
	if taken == 0 || refused == 0 {
		t.Errorf("%d taken, %d refused", taken, refused)
	}
}

// spoil changes a few bytes.
func spoil(rng *rand.Rand, content []byte) {
	for range 1 + rng.IntN(3) {
		if len(content) > 0 {
			content[rng.IntN(len(content))] ^= byte(1 << rng.IntN(8))
		}
	}
}

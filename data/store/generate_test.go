package store

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"strings"

	"stillbright/data"
	"stillbright/data/quantity"
)

// texts are words that a careless writer of YAML gets wrong.
var texts = []string{
	"plain words", "H11", "9005", "007", "no", "Off", "null", "~", "true", "1e3", "2026-01-01", "0x1F", ".5", "a: b", "a:b", "a #b", "a#b", "#b",
	"ends:", "- dash", "-dash", "? ask", "[list]", "{group}", "a, b", "a]b", `say "hi"`, "it's", "&anchor", "*alias", "!tag", "%percent", "@at", "`tick`", "|", ">",
	"two\nlines", "tab\there", " leading", "trailing ", "back\\slash", "é ü ß 光", "emoji 🔦", "a\u00a0b", "line\n\nbreak\n", "---", "...", "<<", "=", "x" + strings.Repeat(" long", 60),
	"\ufeffmark", "soft\u00adhyphen", "a  b", "1_000", "12:30:00", "0b11", "+1", "Infinity", ".nan", "\u200bzero width", "\ufffe",
}

// record makes a value of type T with every field filled, or with each missing
// field left out with the given chance.
func record[T any](rng *rand.Rand, missing float64) T {
	var made T
	fill(rng, reflect.ValueOf(&made).Elem(), field{}, missing)
	return made
}

func fill(rng *rand.Rand, v reflect.Value, f field, missing float64) {
	if !f.required && f.key != "" && rng.Float64() < missing {
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		inner := f
		inner.required = true
		fill(rng, v.Elem(), inner, missing)
	case reflect.Slice:
		n := 1 + rng.IntN(4)
		v.Set(reflect.MakeSlice(v.Type(), n, n))
		for i := range n {
			item := f
			item.required = true
			fill(rng, v.Index(i), item, missing)
		}
	case reflect.Map:
		v.Set(reflect.MakeMap(v.Type()))
		for range 1 + rng.IntN(3) {
			item := reflect.New(v.Type().Elem()).Elem()
			fill(rng, item, field{key: "x", required: true}, missing)
			v.SetMapIndex(reflect.ValueOf(strings.TrimSpace(texts[rng.IntN(len(texts))])+"k"), item)
		}
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[quantity.Money]() {
			v.Set(reflect.ValueOf(quantity.Money{Amount: float64(rng.IntN(30000)) / 100, Currency: []string{"USD", "EUR", "GBP"}[rng.IntN(3)]}))
			return
		}
		for _, own := range fieldsOf(v.Type()) {
			fill(rng, v.Field(own.index), own, missing)
		}
	case reflect.String:
		v.SetString(word(rng, v.Type(), f))
	case reflect.Bool:
		v.SetBool(rng.IntN(2) == 0)
	case reflect.Int:
		v.SetInt(int64(math.Floor(within(rng, f))))
	case reflect.Float64:
		v.SetFloat(within(rng, f))
	}
}

func word(rng *rand.Rand, kind reflect.Type, f field) string {
	switch {
	case kind == reflect.TypeFor[data.Date]():
		return fmt.Sprintf("20%02d-%02d-%02d", rng.IntN(30), 1+rng.IntN(12), 1+rng.IntN(28))
	case f.enum != nil:
		return f.enum[rng.IntN(len(f.enum))]
	case f.id:
		return fmt.Sprintf("id-%d", rng.IntN(1000))
	}
	text := texts[rng.IntN(len(texts))]
	if rng.IntN(3) == 0 {
		text += texts[rng.IntN(len(texts))]
	}
	return text
}

// within draws from the legal range: its ends, round numbers and long ones.
func within(rng *rand.Rand, f field) float64 {
	low, high := 0.0, 1000.0
	if f.min != nil {
		low = *f.min
	}
	if f.max != nil {
		high = *f.max
	}
	switch rng.IntN(6) {
	case 0:
		return low
	case 1:
		return high
	case 2, 3:
		return min(high, math.Ceil(low+rng.Float64()*(high-low)))
	}
	return low + rng.Float64()*(high-low)
}

// random is a generator whose seed a failing test prints.
func random(seed int) *rand.Rand { return rand.New(rand.NewPCG(uint64(seed), 7)) }

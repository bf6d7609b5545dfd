package store

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"stillbright/data"
)

// scribbled writes a record carelessly and checks that it reads back.
func scribbled[T any](t *testing.T, rng *rand.Rand, want T) (string, int) {
	t.Helper()
	s := &scribbler{rng: rng}
	text := s.document(reflect.ValueOf(want))
	var got T
	if _, faults := Decode("scribbled.yaml", []byte(text), &got); len(faults) > 0 {
		t.Fatalf("%v\n%s", faults, text)
	}
	if !same(reflect.ValueOf(got), reflect.ValueOf(want)) {
		t.Fatalf("read\n%+v\nwant\n%+v\n%s", got, want, text)
	}
	return text, s.comments
}

func merged[T any](t *testing.T, old string, want T) string {
	t.Helper()
	text, err := Merge([]byte(old), want)
	if err != nil {
		before := reflect.New(reflect.TypeFor[T]())
		Decode("", []byte(old), before.Interface())
		t.Fatalf("%v\n--- old\n%s\n--- want\n%s", err, old, strings.Join(blockLines(reflect.ValueOf(want)), "\n"))
	}
	var got T
	if _, faults := Decode("merged.yaml", text, &got); len(faults) > 0 || !same(reflect.ValueOf(got), reflect.ValueOf(want)) {
		t.Fatalf("%v\n%s", faults, text)
	}
	return string(text)
}

func mergesAny[T any](t *testing.T, count int) {
	t.Helper()
	for seed := range count {
		rng := random(seed)
		one := record[T](rng, 0.6)
		text, comments := scribbled(t, rng, one)
		if got := merged(t, text, one); got != text {
			t.Fatalf("seed %d: nothing changed, but the text did\n%s\n%s", seed, text, got)
		}
		// Values changed and added only: every comment stays, each on a line
		// with what it stood beside or on its own.
		grown := clone(reflect.ValueOf(one)).Interface().(T)
		grow(rng, reflect.ValueOf(&grown).Elem(), field{})
		after := merged(t, text, grown)
		for n := 1; n <= comments; n++ {
			mark := fmt.Sprintf("# c%d: it's {a} [note", n)
			if strings.Contains(text, mark) && !strings.Contains(after, mark) {
				t.Fatalf("seed %d: comment %d of %d is lost\n--- old\n%s\n--- new\n%s", seed, n, comments, text, after)
			}
		}
		// Anything to anything, and back.
		other := record[T](rng, 0.6)
		merged(t, merged(t, text, other), one)
		shuffled := clone(reflect.ValueOf(one)).Interface().(T)
		shuffle(rng, reflect.ValueOf(&shuffled).Elem(), field{})
		merged(t, merged(t, text, shuffled), one)
	}
}

// grow changes numbers, fills what is missing and adds items; it takes nothing
// out and leaves texts alone, whose block style may carry a comment.
func grow(rng *rand.Rand, v reflect.Value, f field) {
	switch v.Kind() {
	case reflect.Pointer:
		switch {
		case !v.IsNil():
			grow(rng, v.Elem(), f)
		case rng.IntN(4) == 0:
			fill(rng, v, field{key: f.key, unit: f.unit, min: f.min, max: f.max, enum: f.enum, required: true}, 0.5)
		}
	case reflect.Slice:
		for i := range v.Len() {
			grow(rng, v.Index(i), f)
		}
		if rng.IntN(3) == 0 {
			item := reflect.New(v.Type().Elem()).Elem()
			inner := f
			inner.required = true
			fill(rng, item, inner, 0.5)
			v.Set(reflect.Append(v, item))
		}
	case reflect.Struct:
		if isScalar(v.Type()) {
			return
		}
		for _, own := range fieldsOf(v.Type()) {
			grow(rng, v.Field(own.index), own)
		}
	case reflect.Float64:
		if rng.IntN(3) == 0 {
			v.SetFloat(within(rng, f))
		}
	}
}

// shuffle takes out, puts in, swaps and changes anything.
func shuffle(rng *rand.Rand, v reflect.Value, f field) {
	if rng.IntN(6) == 0 && !f.required && f.key != "" && v.Kind() != reflect.Bool {
		v.SetZero()
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			inner := f
			inner.required = true
			shuffle(rng, v.Elem(), inner)
		}
	case reflect.Slice:
		inner := f
		inner.required = true
		var items []reflect.Value
		for i := range v.Len() {
			item := clone(v.Index(i))
			if rng.IntN(4) == 0 {
				shuffle(rng, item, inner)
			}
			if rng.IntN(4) > 0 {
				items = append(items, item)
			}
			if rng.IntN(4) == 0 {
				fresh := reflect.New(v.Type().Elem()).Elem()
				fill(rng, fresh, inner, 0.5)
				items = append(items, fresh)
			}
		}
		if len(items) > 1 && rng.IntN(4) == 0 {
			items[0], items[1] = items[1], items[0]
		}
		v.Set(reflect.Append(reflect.MakeSlice(v.Type(), 0, len(items)), items...))
	case reflect.Struct:
		if isScalar(v.Type()) {
			return
		}
		for _, own := range fieldsOf(v.Type()) {
			shuffle(rng, v.Field(own.index), own)
		}
	default:
		if rng.IntN(4) == 0 {
			fill(rng, v, field{key: f.key, unit: f.unit, min: f.min, max: f.max, enum: f.enum, id: f.id, required: true}, 0)
		}
	}
}

// Merge keeps the bytes of what does not change, for records of every kind
// written in every style, and gives what was asked for otherwise.
func TestMergeProperties(t *testing.T) {
	count := 30
	if testing.Short() {
		count = 10
	}
	mergesAny[data.Bulb](t, count)
	mergesAny[data.Car](t, count)
	mergesAny[data.Rig](t, count)
	mergesAny[data.CheckRules](t, 20)
	mergesAny[data.LimitTables](t, count)
}

// The shipped files, written by hand, come through untouched.
func TestMergeLeavesShippedFilesAlone(t *testing.T) {
	kinds := map[string]any{"bulbs": &data.Bulb{}, "rigs": &data.Rig{}, "cars": &data.Car{}, "rules.yaml": &data.Rules{}, "sizes.yaml": &data.SizeFile{}, "law.yaml": &data.LawFile{}}
	count := 0
	for name, record := range kinds {
		files, err := filepath.Glob(filepath.Join("..", "known", "yaml", "demo", name, "*.yaml"))
		if err != nil {
			t.Fatal(err)
		}
		if strings.HasSuffix(name, ".yaml") {
			files = []string{filepath.Join("..", "known", "yaml", name)}
		}
		for _, file := range files {
			content, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			fresh := reflect.New(reflect.TypeOf(record).Elem())
			if _, faults := Decode(file, content, fresh.Interface()); len(faults) > 0 {
				t.Fatal(faults)
			}
			got, err := Merge(content, fresh.Interface())
			if err != nil || !bytes.Equal(got, content) {
				t.Errorf("%s: %v, or it changed", file, err)
			}
			count++
		}
	}
	if count < 20 {
		t.Errorf("only %d files were tried", count)
	}
}

var lineComment = regexp.MustCompile(`#.*`)

// What the verbs do, on a file as a tester keeps it.
func TestMergeExamples(t *testing.T) {
	for _, test := range mergeExamples {
		t.Run(test.name, func(t *testing.T) {
			var bulb data.Bulb
			if _, faults := Decode("b.yaml", []byte(test.old), &bulb); len(faults) > 0 {
				t.Fatal(faults)
			}
			test.change(&bulb)
			if got := merged(t, test.old, bulb); got != test.want {
				t.Errorf("got\n%s\nwant\n%s", got, test.want)
			}
			if len(lineComment.FindAllString(test.want, -1)) < len(lineComment.FindAllString(test.old, -1))-test.lost {
				t.Error("the example itself loses a comment")
			}
		})
	}
}

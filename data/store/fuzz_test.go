package store

import (
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"stillbright/data"
	"stillbright/testdata/badfiles"
)

// FuzzDecode: whatever the bytes, the reader returns, with faults that stand
// inside the file and hold nothing a terminal would obey; and a record it
// accepts can be written and reads back the same.
func FuzzDecode(f *testing.F) {
	for _, text := range badfiles.Records() {
		if len(text) < 20_000 { // the large ones have a test of their own
			f.Add([]byte(text))
		}
	}
	files, _ := filepath.Glob("../known/yaml/demo/*/*.yaml")
	for _, file := range files {
		if content, err := os.ReadFile(file); err == nil {
			f.Add(content)
		}
	}
	f.Fuzz(func(t *testing.T, content []byte) {
		for _, target := range []any{&data.Bulb{}, &data.Car{}, &data.Rules{}, &data.Words{}} {
			_, faults := Decode("f.yaml", content, target)
			lines := strings.Count(string(content), "\n") + strings.Count(string(content), "\r") + 2 +
				strings.Count(string(content), "\u0085") + strings.Count(string(content), "\u2028") + strings.Count(string(content), "\u2029")
			for _, fault := range faults {
				if fault.Line < 0 || fault.Line > lines || fault.Message == "" {
					t.Fatalf("%q: %+v", content, fault)
				}
				if strings.ContainsFunc(fault.String()+fault.Hint, hostile) || strings.Contains(fault.String(), "\n") {
					t.Fatalf("%q: a fault that is not clean text: %q", content, fault)
				}
			}
			if len(faults) > 0 {
				continue
			}
			if _, err := Encode(target); err != nil {
				t.Fatalf("%q was read, but cannot be written: %v", content, err)
			}
		}
	})
}

// FuzzMerge: a file that reads without a fault can be changed into any other
// record, and keeps its bytes when nothing changes.
func FuzzMerge(f *testing.F) {
	for seed := range 20 {
		s := &scribbler{rng: random(seed)}
		f.Add([]byte(s.document(reflect.ValueOf(record[data.Car](s.rng, 0.6)))), seed)
		f.Add([]byte(s.document(reflect.ValueOf(record[data.Bulb](s.rng, 0.7)))), seed)
	}
	for i, example := range mergeExamples {
		f.Add([]byte(example.old), i)
	}
	f.Fuzz(func(t *testing.T, old []byte, seed int) {
		fuzzMerge[data.Car](t, old, seed)
		fuzzMerge[data.Bulb](t, old, seed)
	})
}

func fuzzMerge[T any](t *testing.T, old []byte, seed int) {
	var read T
	if _, faults := Decode("f.yaml", old, &read); len(faults) > 0 {
		return
	}
	if text, err := Merge(old, read); err != nil || string(text) != string(old) {
		t.Fatalf("%v: nothing changed, but the text did", err)
	}
	rng := random(seed)
	grow(rng, reflect.ValueOf(&read).Elem(), field{})
	shuffle(rng, reflect.ValueOf(&read).Elem(), field{})
	if _, err := Encode(read); err != nil {
		return
	}
	if _, err := Merge(old, read); err != nil {
		t.Fatalf("%v\n%q", err, old)
	}
}

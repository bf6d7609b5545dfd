// Package knowntest holds a package's tests to the rule that what is known is
// shared and not to be changed.
package knowntest

import (
	"bufio"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"testing"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/recommend"
)

// Run runs the tests of a package and returns the exit code: not 0 when one of
// them, or what it calls, has changed what every caller of package known shares.
func Run(m *testing.M) int {
	before := everything()
	code := m.Run()
	if code == 0 && everything() != before {
		fmt.Fprintln(os.Stderr, "FAIL: a test, or what it calls, has changed a value of package known; copy first")
		code = 1
	}
	return code
}

func everything() string {
	text, err := json.Marshal([]any{
		known.Sizes(), known.USFigures(), known.Law(), known.LawNotes(), known.Places(), known.Rules(), known.Fit(), known.Pattern(),
		known.Cautions(), known.Claims(), known.Aim(), known.Limits(), known.Replies(), known.Markings(), known.Demo(),
	})
	if err != nil {
		panic(err)
	}
	return string(text)
}

// Demo returns a copy of the demo catalog that a test may change.
func Demo() data.Catalog {
	own := known.Demo()
	separate(reflect.ValueOf(&own).Elem())
	return own
}

// separate gives a value its own copy of all it points to.
func separate(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			own := reflect.New(v.Type().Elem())
			own.Elem().Set(v.Elem())
			v.Set(own)
			separate(own.Elem())
		}
	case reflect.Slice:
		if !v.IsNil() {
			own := reflect.MakeSlice(v.Type(), v.Len(), v.Len())
			reflect.Copy(own, v)
			v.Set(own)
		}
		for i := range v.Len() {
			separate(v.Index(i))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Field(i).CanSet() {
				separate(v.Field(i))
			}
		}
	}
}

// Knowledge is what ships with the program, but for the texts of replies.
func Knowledge() recommend.Knowledge {
	return recommend.Knowledge{
		Sizes: known.Sizes(), Law: known.Law(), LawNotes: known.LawNotes(), Places: known.Places(), Rules: known.Rules(),
		Fit: known.Fit(), Pattern: known.Pattern(), Cautions: known.Cautions(), Claims: known.Claims(), Aim: known.Aim(),
	}
}

// Questions are the questions of the labelled sets.
func Questions(t testing.TB, names ...string) []string {
	t.Helper()
	_, here, _, _ := runtime.Caller(0)
	var all []string
	for _, name := range names {
		file, err := os.Open(filepath.Join(filepath.Dir(here), "..", "..", "..", "testdata", "questions", name))
		if err != nil {
			t.Fatal(err)
		}
		defer file.Close()
		lines := bufio.NewScanner(file)
		lines.Buffer(nil, 1<<20)
		for lines.Scan() {
			var line struct{ Q string }
			if err := json.Unmarshal(lines.Bytes(), &line); err != nil {
				t.Fatal(err)
			}
			all = append(all, line.Q)
		}
	}
	return all
}

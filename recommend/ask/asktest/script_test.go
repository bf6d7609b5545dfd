package asktest_test

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"stillbright/recommend/ask"
	"stillbright/recommend/ask/asktest"
)

// recorder stands for a test that is expected to fail.
type recorder struct {
	testing.TB
	failures []string
	cleanups []func()
}

func (r *recorder) Helper()             {}
func (r *recorder) Cleanup(f func())    { r.cleanups = append(r.cleanups, f) }
func (r *recorder) Error(values ...any) { r.failures = append(r.failures, fmt.Sprint(values...)) }
func (r *recorder) Errorf(format string, values ...any) {
	r.failures = append(r.failures, fmt.Sprintf(format, values...))
}

func (r *recorder) end() string {
	for _, f := range r.cleanups {
		f()
	}
	return strings.Join(r.failures, "; ")
}

func TestScriptFailsWhereItShould(t *testing.T) {
	size := ask.Question{Label: "Size", Flag: "--size", Options: []ask.Option{{Value: "H7"}}, Default: "H7"}
	trip := ask.Question{Label: "Trip", Validate: func(string) error { return errors.New("never legal") }}
	ctx := context.Background()
	for name, test := range map[string]struct {
		lines []asktest.Line
		run   func(p ask.Prompter) (ask.Answer, error)
		fails string
	}{
		"right":          {[]asktest.Line{asktest.Take("Size", "H7")}, func(p ask.Prompter) (ask.Answer, error) { return p.Select(ctx, size) }, ""},
		"by flag":        {[]asktest.Line{asktest.Default("--size")}, func(p ask.Prompter) (ask.Answer, error) { return p.Select(ctx, size) }, ""},
		"unused":         {[]asktest.Line{asktest.Take("Size", "H7")}, nil, `question "Size" was not asked`},
		"at the end":     {nil, func(p ask.Prompter) (ask.Answer, error) { return p.Select(ctx, size) }, `question "Size" (--size) was not expected, the script is at its end`},
		"other question": {[]asktest.Line{asktest.Take("Car", "H7")}, func(p ask.Prompter) (ask.Answer, error) { return p.Select(ctx, size) }, `the next in the script is "Car"; question "Car" was not asked`},
		"no option":      {[]asktest.Line{asktest.Take("Size", "H1")}, func(p ask.Prompter) (ask.Answer, error) { return p.Select(ctx, size) }, `"H1" is not an option`},
		"no options":     {[]asktest.Line{asktest.Take("Trip", "x")}, func(p ask.Prompter) (ask.Answer, error) { return p.Select(ctx, trip) }, `question "Trip" has no options`},
		"not known":      {[]asktest.Line{asktest.Unknown("Size")}, func(p ask.Prompter) (ask.Answer, error) { return p.Select(ctx, size) }, `does not allow "don't know"`},
		"back":           {[]asktest.Line{asktest.Back("Size")}, func(p ask.Prompter) (ask.Answer, error) { return p.Select(ctx, size) }, "does not allow a step back"},
		"not valid":      {[]asktest.Line{asktest.Take("Trip", "1")}, func(p ask.Prompter) (ask.Answer, error) { return p.Input(ctx, trip) }, "never legal"},
		"no default":     {[]asktest.Line{asktest.Default("Trip")}, func(p ask.Prompter) (ask.Answer, error) { return p.Input(ctx, trip) }, "an empty text is never taken"},
		"not yes or no":  {[]asktest.Line{asktest.Take("Size", "H7")}, func(p ask.Prompter) (ask.Answer, error) { return p.Confirm(ctx, size) }, "neither yes nor no"},
	} {
		r := &recorder{}
		script := asktest.New(r, test.lines...)
		if test.run != nil {
			_, err := test.run(script)
			if wrong := test.fails != ""; wrong != (err != nil) {
				t.Errorf("%s: the error is %v", name, err)
			}
		}
		if got := r.end(); (test.fails == "") != (got == "") || !strings.Contains(got, test.fails) {
			t.Errorf("%s: the test fails with %q, want %q", name, got, test.fails)
		}
	}
}

func TestScriptCancels(t *testing.T) {
	script := asktest.New(t, asktest.Cancel("Size"))
	if _, err := script.Confirm(context.Background(), ask.Question{Label: "Size"}); !errors.Is(err, ask.ErrCancelled) {
		t.Errorf("got %v", err)
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if _, err := asktest.New(t).Confirm(ctx, ask.Question{Label: "Size"}); !errors.Is(err, ask.ErrCancelled) {
		t.Errorf("a cancelled context gives %v", err)
	}
}

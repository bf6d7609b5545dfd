package ask_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"testing"

	"stillbright/recommend/ask"
)

func bulbs() ask.Question {
	return ask.Question{
		Label: "Bulb size", Flag: "--size", Default: "H7", AllowUnknown: true, AllowBack: true,
		Help:    "It is printed on the base of the bulb that is fitted.",
		Options: []ask.Option{{Value: "H1"}, {Value: "H11"}, {Value: "H7"}, {Value: "HB3", Note: "also 9005"}, {Value: "4", Label: "Fourth kind"}},
	}
}

func TestPlainSelect(t *testing.T) {
	for input, want := range map[string]struct {
		answer ask.Answer
		says   string
	}{
		"1\n":                      {ask.Answer{Value: "H1"}, ""},
		"02\n":                     {ask.Answer{Value: "H11"}, ""},
		"\n":                       {ask.Answer{Value: "H7"}, ""},
		"h1\n":                     {ask.Answer{Value: "H1"}, ""}, // exact before prefix
		"hb\n":                     {ask.Answer{Value: "HB3"}, ""},
		"fourth\n":                 {ask.Answer{Value: "4"}, ""},
		"4\n":                      {ask.Answer{Value: "HB3"}, ""}, // the number comes first
		"6\n":                      {ask.Answer{State: ask.Back}, ""},
		"<\n":                      {ask.Answer{State: ask.Back}, ""},
		"back\n":                   {ask.Answer{State: ask.Back}, ""},
		"7\n":                      {ask.Answer{State: ask.Unknown}, "It is printed on the base"},
		"-\n":                      {ask.Answer{State: ask.Unknown}, "It is printed on the base"},
		"Don\u2019t know\n":        {ask.Answer{State: ask.Unknown}, "It is printed on the base"},
		"?\nh7\n":                  {ask.Answer{Value: "H7"}, "Flag: --size"},
		"h\nh7\n":                  {ask.Answer{Value: "H7"}, "]:   1  H1\n  2  H11\n  3  H7\n  4  HB3 (also 9005)\n  \"h\" could be one of these; enter a number from 1 to 7 or the beginning of a name; ? explains, - don't know, < goes back"},
		"9005\n":                   {ask.Answer{Value: "HB3"}, ""}, // its other name
		"900\nhb3\n":               {ask.Answer{Value: "HB3"}, "4  HB3 (also 9005)\n  \"900\" could be one of these"},
		"zzz\nh7\n":                {ask.Answer{Value: "H7"}, "nothing here is called \"zzz\"; enter a number from 1 to 7"},
		"0\nh7\n":                  {ask.Answer{Value: "H7"}, "4  HB3 (also 9005)\n  \"0\" could be one of these"},
		"88\nh7\n":                 {ask.Answer{Value: "H7"}, "nothing here is called \"88\""},
		"8\nh7\n":                  {ask.Answer{Value: "H7"}, "nothing here is called \"8\""},
		"99999999999999999999\n1":  {ask.Answer{Value: "H1"}, "nothing here is called"}, // and a last line without its end
		"\x1b[31m\x07h1\x00\nh1\n": {ask.Answer{Value: "H1"}, "nothing here is called \"[31mh1\""},
	} {
		var out bytes.Buffer
		got, err := ask.NewPlain(strings.NewReader(input), &out, 0).Select(context.Background(), bulbs())
		if got != want.answer || err != nil || !strings.Contains(out.String(), want.says) {
			t.Errorf("%q gives %v, %v, want %v and %q; it said\n%s", input, got, err, want.answer, want.says, out.String())
		}
	}
}

func TestPlainShows(t *testing.T) {
	var out bytes.Buffer
	q := bulbs()
	q.Problem = "the last answer was\x1b[2J not taken"
	if _, err := ask.NewPlain(strings.NewReader("\n"), &out, 30).Select(context.Background(), q); err != nil {
		t.Fatal(err)
	}
	const want = `  the last answer was[2J not
  taken
Bulb size
  1  H1
  2  H11
  3  H7
  4  HB3 (also 9005)
  5  Fourth kind
  6  back (to the question
     before)
  7  don't know (says how to
     find out)
  ? explains, - don't know, <
  goes back
Number or name [H7]: `
	if out.String() != want {
		t.Errorf("got\n%s\nwant\n%s", out.String(), want)
	}
}

func TestPlainWithoutDefaultAsksAgain(t *testing.T) {
	q := ask.Question{Label: "Size", Options: []ask.Option{{Value: "H1"}}, Default: "gone"}
	var out bytes.Buffer
	got, err := ask.NewPlain(strings.NewReader("\n<\n-\nh1\n"), &out, 0).Select(context.Background(), q)
	if got.Value != "H1" || err != nil {
		t.Fatalf("got %v, %v", got, err)
	}
	for _, said := range []string{"nothing entered; enter a number from 1 to 1", "there is no question before this one", `nothing here is called "-"`} {
		if !strings.Contains(out.String(), said) {
			t.Errorf("%q is not said in\n%s", said, out.String())
		}
	}
}

func TestPlainLongListIsNarrowed(t *testing.T) {
	q := ask.Question{Label: "Car", Search: true, AllowUnknown: true}
	for i := range 200 {
		q.Options = append(q.Options, ask.Option{Value: fmt.Sprintf("car %03d", i)})
	}
	var out bytes.Buffer
	got, err := ask.NewPlain(strings.NewReader("car\ncar 19\n195\n"), &out, 0).Select(context.Background(), q)
	if got.Value != "car 194" || err != nil {
		t.Fatalf("got %v, %v", got, err)
	}
	text := out.String()
	for _, said := range []string{"200 choices; enter a part of the name, or * to list them all.", "200 match", "  195  car 194\n"} {
		if !strings.Contains(text, said) {
			t.Errorf("%q is not said in\n%s", said, text)
		}
	}
	if n := strings.Count(text, "\n"); n > 60 {
		t.Errorf("%d lines", n)
	}
	out.Reset()
	got, err = ask.NewPlain(strings.NewReader("*\n201\n"), &out, 0).Select(context.Background(), q)
	if got.State != ask.Unknown || err != nil || strings.Count(out.String(), "\n") < 200 {
		t.Errorf("the whole list gives %v, %v\n%s", got, err, out.String())
	}
}

func TestPlainConfirm(t *testing.T) {
	q := ask.Question{Label: "Does the car watch its bulbs", AllowUnknown: true, Help: "Look for a bulb-out lamp on the dash."}
	for input, want := range map[string]ask.Answer{
		"y\n": {Value: ask.Yes}, "NO\n": {Value: ask.No}, "x\n\nyes\n": {Value: ask.Yes}, "?\n-\n": {State: ask.Unknown},
	} {
		var out bytes.Buffer
		got, err := ask.NewPlain(strings.NewReader(input), &out, 0).Confirm(context.Background(), q)
		if got != want || err != nil {
			t.Errorf("%q gives %v, %v\n%s", input, got, err, out.String())
		}
		if strings.HasPrefix(input, "x") && strings.Count(out.String(), "enter yes or no; ? explains, - don't know") != 2 {
			t.Errorf("a wrong entry does not say what is legal:\n%s", out.String())
		}
	}
	q.Default = ask.No
	got, err := ask.NewPlain(strings.NewReader("\n"), io.Discard, 0).Confirm(context.Background(), q)
	if got.Value != ask.No || err != nil {
		t.Errorf("the default gives %v, %v", got, err)
	}
}

// An answer that is needed is not a dash, which says "don't know" elsewhere.
func TestPlainInputIsNoDash(t *testing.T) {
	var out bytes.Buffer
	got, err := ask.NewPlain(strings.NewReader("-\nme\n"), &out, 0).Input(context.Background(), ask.Question{Label: "Who measures"})
	if got.Value != "me" || err != nil || !strings.Contains(out.String(), "has to be known") {
		t.Errorf("got %v, %v\n%s", got, err, out.String())
	}
}

func TestPlainInput(t *testing.T) {
	q := ask.Question{Label: "Lamps", Validate: func(text string) error {
		if n, err := strconv.Atoi(text); err != nil || n < 1 || n > 4 {
			return fmt.Errorf("%q: give a number from 1 to 4", text)
		}
		return nil
	}}
	var out bytes.Buffer
	got, err := ask.NewPlain(strings.NewReader("\n9\n-\n <\n 2 \n"), &out, 0).Input(context.Background(), q)
	if got.Value != "2" || err != nil {
		t.Errorf("got %v, %v", got, err)
	}
	for _, said := range []string{"nothing entered; ? explains", `"9": give a number from 1 to 4`, `"-": give a number`, "there is no question before"} {
		if !strings.Contains(out.String(), said) {
			t.Errorf("%q is not said in\n%s", said, out.String())
		}
	}
	q.Default, q.AllowUnknown, q.AllowBack = "3", true, true
	for input, want := range map[string]ask.Answer{"\n": {Value: "3"}, "-\n": {State: ask.Unknown}, "<\n": {State: ask.Back}} {
		if got, err := ask.NewPlain(strings.NewReader(input), io.Discard, 0).Input(context.Background(), q); got != want || err != nil {
			t.Errorf("%q gives %v, %v", input, got, err)
		}
	}
	q.Default = "7" // a default is held to the same rule
	if _, err := ask.NewPlain(strings.NewReader("\n"), io.Discard, 0).Input(context.Background(), q); !errors.Is(err, ask.ErrCancelled) {
		t.Errorf("a bad default gives %v", err)
	}
}

func TestPlainEndOfInputCancels(t *testing.T) {
	p := ask.NewPlain(strings.NewReader(""), io.Discard, 0)
	for name, question := range map[string]func(context.Context, ask.Question) (ask.Answer, error){
		"select": p.Select, "confirm": p.Confirm, "input": p.Input,
	} {
		if _, err := question(context.Background(), bulbs()); !errors.Is(err, ask.ErrCancelled) {
			t.Errorf("%s: %v", name, err)
		}
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	in, _ := io.Pipe()
	if _, err := ask.NewPlain(in, io.Discard, 0).Input(ctx, bulbs()); !errors.Is(err, ask.ErrCancelled) || !errors.Is(err, context.Canceled) {
		t.Errorf("a cancelled context gives %v", err)
	}
}

func TestListWithoutOptionsIsRefused(t *testing.T) {
	_, err := ask.NewPlain(strings.NewReader("\n"), io.Discard, 0).Select(context.Background(), ask.Question{Label: "Car", AllowUnknown: true})
	if err == nil || err.Error() != `question "Car" has no options` {
		t.Errorf("got %v", err)
	}
}

type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { return 0, io.ErrClosedPipe }

func TestBrokenTerminalIsReported(t *testing.T) {
	p := ask.NewPlain(strings.NewReader("1\n"), brokenWriter{}, 0)
	if _, err := p.Select(context.Background(), bulbs()); !errors.Is(err, io.ErrClosedPipe) {
		t.Errorf("got %v", err)
	}
}

func FuzzPlain(f *testing.F) {
	f.Add("h1\n?\n9005\n", 20)
	f.Fuzz(func(t *testing.T, input string, columns int) {
		var out bytes.Buffer
		got, err := ask.NewPlain(strings.NewReader(input), &out, columns%200).Select(context.Background(), bulbs())
		if err != nil && !errors.Is(err, ask.ErrCancelled) {
			t.Fatalf("%q: %v", input, err)
		}
		if err == nil && got.State == ask.Answered {
			legal := false
			for _, option := range bulbs().Options {
				legal = legal || option.Value == got.Value
			}
			if !legal {
				t.Fatalf("%q gives %v", input, got)
			}
		}
		if strings.ContainsAny(out.String(), "\x1b\a\u202e") {
			t.Fatalf("%q comes back as %q", input, out.String())
		}
	})
}

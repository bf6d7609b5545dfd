//go:build linux

package ask_test

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"

	"stillbright/recommend/ask"
	"stillbright/recommend/ask/asktest"
)

// The tests of the terminal run this test binary again as a small program.
const programVariable = "ASK_TEST_PROGRAM"

func TestMain(m *testing.M) {
	if name := os.Getenv(programVariable); name != "" {
		program(name)
		return
	}
	os.Exit(m.Run())
}

// program asks, prints what it got on standard output, and waits for a line.
func program(name string) {
	defer func() {
		if crash := recover(); crash != nil {
			finish("panic: %v", crash)
		}
	}()
	prompter, err := ask.Open(ask.Options{Plain: name == "plain-walk"})
	if err != nil {
		finish("error: %v", err)
		return
	}
	ctx := context.Background()
	var got ask.Answer
	switch name {
	case "list":
		got, err = prompter.Select(ctx, sizes(false))
	case "search":
		got, err = prompter.Select(ctx, sizes(true))
	case "bare-search":
		q := sizes(true)
		q.AllowUnknown, q.AllowBack = false, false
		got, err = prompter.Select(ctx, q)
	case "other":
		q := sizes(true)
		q.Options = append(q.Options, ask.Option{Value: "new", Label: "another size", Other: true})
		got, err = prompter.Select(ctx, q)
	case "must-move":
		q := sizes(true)
		q.MustMove = true
		got, err = prompter.Select(ctx, q)
	case "many":
		got, err = prompter.Select(ctx, many())
	case "wide":
		got, err = prompter.Select(ctx, wide())
	case "confirm":
		got, err = prompter.Confirm(ctx, ask.Question{Label: "Does the car watch its bulbs", AllowUnknown: true, AllowBack: true, Default: ask.No})
	case "input":
		got, err = prompter.Input(ctx, trip())
	case "crash-search":
		ask.Sabotage(prompter)
		got, err = prompter.Select(ctx, sizes(true))
	case "crash-input":
		q := trip()
		q.Validate = func(string) error { panic("sabotage") }
		got, err = prompter.Input(ctx, q)
	case "timeout":
		var stop context.CancelFunc
		ctx, stop = context.WithTimeout(ctx, 10*time.Millisecond)
		defer stop()
		got, err = prompter.Select(ctx, sizes(true))
	case "crash-walk":
		steps := interview()
		steps[0].Keep = func(map[string]string, ask.Answer) (map[string]string, error) { panic("sabotage") }
		_, err = ask.Walk(ctx, prompter, map[string]string{}, steps)
	case "walk", "plain-walk":
		var all map[string]string
		all, err = ask.Walk(ctx, prompter, map[string]string{}, interview())
		finish("walk: %v %v", all, err)
		return
	}
	finish("state %d value %q plain %v cancelled %v error %v", got.State, got.Value, ask.IsPlain(prompter), errors.Is(err, ask.ErrCancelled), err)
}

func finish(format string, values ...any) {
	fmt.Printf("RESULT "+format+" END\n", values...)
	_, _ = bufio.NewReader(os.Stdin).ReadString('\n')
}

func sizes(search bool) ask.Question {
	return ask.Question{
		Label: "Bulb size", Flag: "--size", Search: search, AllowUnknown: true, AllowBack: true,
		Help: "It is printed on the base of the bulb that is fitted, and in the handbook of the car.",
		Options: []ask.Option{
			{Value: "H1", Note: "one filament"}, {Value: "H4", Note: "also 9003"}, {Value: "H7"},
			{Value: "HB3", Note: "also 9005"}, {Value: "H11"}, {Value: "H13"}, {Value: "a/b", Label: "jack k/h"},
		},
	}
}

func many() ask.Question {
	q := ask.Question{Label: "Car", Search: true, AllowUnknown: true, Default: "car 200"}
	for i := range 300 {
		q.Options = append(q.Options, ask.Option{Value: "car " + strconv.Itoa(i), Note: "invented"})
	}
	return q
}

func wide() ask.Question {
	return ask.Question{
		Label: "電球の型番を選んでください 電球の型番を選んでください", Search: true, AllowUnknown: true,
		Options: []ask.Option{
			{Value: "1", Label: strings.Repeat("前照灯", 30)}, {Value: "2", Label: "e\u0301te\u0301\x1b[31m\nline\u202e"},
			{Value: "3", Label: strings.Repeat("long ", 60)},
		},
	}
}

func trip() ask.Question {
	return ask.Question{
		Label: "Usual drive", Flag: "--trip", Default: "30min", AllowUnknown: true, AllowBack: true,
		Help: "From switching on to parking.",
		Validate: func(text string) error {
			if _, err := strconv.Atoi(strings.TrimSuffix(text, "min")); err != nil {
				return fmt.Errorf("%q is not a time; give minutes, such as 30min", text)
			}
			return nil
		},
	}
}

func interview() []ask.Step[map[string]string] {
	keep := func(name string) func(map[string]string, ask.Answer) (map[string]string, error) {
		return func(state map[string]string, a ask.Answer) (map[string]string, error) {
			next := map[string]string{name: fmt.Sprint(a.State, ":", a.Value)}
			for k, v := range state {
				if k != name {
					next[k] = v
				}
			}
			return next, nil
		}
	}
	return []ask.Step[map[string]string]{
		{Ask: func(map[string]string) (ask.Question, bool) { return sizes(true), true }, Keep: keep("size")},
		{Ask: func(map[string]string) (ask.Question, bool) {
			q := trip()
			q.Kind = ask.Text
			return q, true
		}, Keep: keep("trip")},
		{Ask: func(map[string]string) (ask.Question, bool) {
			return ask.Question{Kind: ask.YesNo, Label: "Does the car watch its bulbs", AllowUnknown: true}, true
		}, Keep: keep("canbus")},
	}
}

// start runs the program on a screen.
func start(t *testing.T, name string, columns, rows int, environment ...string) *asktest.Screen {
	t.Helper()
	return asktest.Run(t, columns, rows, command(t, name, environment...))
}

func command(t *testing.T, name string, environment ...string) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	c := exec.Command(self)
	// The race detector would otherwise sleep for a second at the end.
	c.Env = append([]string{programVariable + "=" + name, "GORACE=atexit_sleep_ms=0"}, environment...)
	return c
}

// end checks the result and that the terminal is as a shell expects it.
func end(t *testing.T, s *asktest.Screen, result string) {
	t.Helper()
	s.Wait(" END")
	if !strings.Contains(flat(s), strings.ReplaceAll(result, " ", "")) {
		t.Errorf("the result is not %q; the screen:\n%s", result, s.Text())
	}
	if _, _, shown := s.Cursor(); !shown {
		t.Error("the cursor is hidden")
	}
	if !s.Cooked() {
		t.Error("the terminal is still in raw mode")
	}
	if n := strings.Count(s.Raw(), "\a"); n > 0 {
		t.Errorf("%d bells", n)
	}
	s.Send("\n\n") // a question left by a signal may still swallow one line
	if code := s.Exit(); code != 0 {
		t.Errorf("exit code %d\n%s", code, s.Raw())
	}
}

// flat is the screen without spaces and line ends, for texts longer than a line.
func flat(s *asktest.Screen) string { return strings.Join(strings.Fields(s.Text()), "") }

package cli

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"stillbright/data/known"
	"stillbright/data/known/knowntest"
	"stillbright/recommend/answer"
	"stillbright/recommend/cli/wrong"
	"stillbright/recommend/reply"
)

// run runs a command line in an empty home and returns what it wrote.
func run(t testing.TB, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	home := t.TempDir()
	var out, err bytes.Buffer
	env := &Env{In: strings.NewReader(""), Out: &out, Err: &err, Getenv: func(name string) string {
		return map[string]string{"HOME": home, "STILLBRIGHT_TODAY": "2026-11-25"}[name]
	}}
	code = env.Run(context.Background(), append([]string{"stillbright"}, args...))
	return code, out.String(), err.String()
}

// TestReplyDecidesLikePick: lamps[i].pick of a reply is what pick prints for the
// printed command, on every labelled question; and the document is valid.
func TestReplyDecidesLikePick(t *testing.T) {
	schema := replySchema(t)
	same, lamps := map[string]bool{}, 0
	questions, least := knowntest.Questions(t, "dev.jsonl"), 40
	if testing.Short() {
		questions, least = questions[:20], 10
	}
	asJSON := repliesAsJSON(t)
	for _, q := range questions {
		stdout := asJSON(q)
		if err := schema.Validate(decoded(t, stdout)); err != nil {
			t.Errorf("%q: %v", q, err)
		}
		var document struct {
			Lamps []struct {
				Pick    json.RawMessage
				Command string
				Problem *string
			}
		}
		if err := json.Unmarshal([]byte(stdout), &document); err != nil {
			t.Fatal(err)
		}
		for _, lamp := range document.Lamps {
			lamps++
			if same[lamp.Command] {
				continue
			}
			same[lamp.Command] = true
			words := append(strings.Fields(lamp.Command)[1:], "--json")
			code, stdout, stderr := run(t, words...)
			if lamp.Problem != nil {
				if code != wrong.ExitUsage || !strings.Contains(stdout, *lamp.Problem) {
					t.Errorf("%q: problem %q, but %s exits %d: %s", q, *lamp.Problem, lamp.Command, code, stdout)
				}
				continue
			}
			if code != 0 && code != wrong.ExitNothing {
				t.Errorf("%q: %s exits %d: %s", q, lamp.Command, code, stderr)
				continue
			}
			if got, want := compact(t, lamp.Pick), compact(t, []byte(stdout)); got != want {
				t.Errorf("%q: reply and %s differ:\n%s", q, lamp.Command, firstDifference(got, want))
			}
		}
	}
	if lamps < least {
		t.Errorf("only %d lamps were decided", lamps)
	}
}

// repliesAsJSON prints replies as the verb does, with one replier for all.
func repliesAsJSON(t testing.TB) func(question string) string {
	t.Helper()
	var out bytes.Buffer
	env := &Env{Out: &out, Err: io.Discard, Getenv: func(name string) string {
		return map[string]string{"STILLBRIGHT_TODAY": "2026-11-25"}[name]
	}}
	b, err := env.open("")
	if err != nil {
		t.Fatal(err)
	}
	replier := reply.NewReplier(&b.known, &b.catalog, b.words(), env.replyOptions())
	return func(question string) string {
		out.Reset()
		document := replier.Reply(question)
		document.Answer = answer.ReplyText(&document, "full")
		if err := env.printJSON(document); err != nil {
			t.Fatal(err)
		}
		return out.String()
	}
}

func compact(t testing.TB, text []byte) string {
	t.Helper()
	var b bytes.Buffer
	if err := json.Compact(&b, text); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func firstDifference(a, b string) string {
	i := 0
	for i < len(a) && i < len(b) && a[i] == b[i] {
		i++
	}
	cut := func(s string) string { return s[max(0, min(i-80, len(s))):min(len(s), i+80)] }
	return cut(a) + "\n" + cut(b)
}

func replySchema(t testing.TB) *jsonschema.Schema {
	t.Helper()
	text, ok := known.Schema("reply-1")
	if !ok {
		t.Fatal("no schema of reply/1")
	}
	compiler := jsonschema.NewCompiler()
	if err := compiler.AddResource("reply-1", decoded(t, string(text))); err != nil {
		t.Fatal(err)
	}
	schema, err := compiler.Compile("reply-1")
	if err != nil {
		t.Fatal(err)
	}
	return schema
}

func decoded(t testing.TB, text string) any {
	t.Helper()
	value, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	return value
}

// TestReplyCommandCarriesFlags: flags that replace what was understood stand in the
// printed command, weights to the last digit.
func TestReplyCommandCarriesFlags(t *testing.T) {
	_, stdout, stderr := run(t, "reply", "--json", "--weights", "output=3,pattern=2,heat=2", "--volts", "12.1V", "--polarity", "reversed",
		"--front-clearance", "2.1in", "--cct", "4300K", "--car", "norrvik-estate", "H7 dipped, 55 minutes of motorway at 68 mph, 80 quid each")
	var document struct {
		Lamps []struct {
			Pick    json.RawMessage
			Command string
		}
	}
	if err := json.Unmarshal([]byte(stdout), &document); err != nil || len(document.Lamps) != 1 {
		t.Fatalf("%v: %s%s", err, stdout, stderr)
	}
	lamp := document.Lamps[0]
	_, stdout, stderr = run(t, append(strings.Fields(lamp.Command)[1:], "--json")...)
	if got, want := compact(t, lamp.Pick), compact(t, []byte(stdout)); got != want {
		t.Errorf("%s: %s\n%s", lamp.Command, stderr, firstDifference(got, want))
	}
}

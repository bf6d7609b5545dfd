package cli_test

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"stillbright/data/store"
	"stillbright/recommend/ask"
	"stillbright/recommend/ask/asktest"
	"stillbright/recommend/cli"
)

// talk runs one command line with a person who answers by a script.
func talk(prompter ask.Prompter, args ...string) (code int, stdout, stderr string) {
	var out, err bytes.Buffer
	env := &cli.Env{In: strings.NewReader(""), Out: &out, Err: &err, Prompter: prompter, Getenv: func(name string) string {
		return map[string]string{"STILLBRIGHT_TODAY": "2026-03-14"}[name]
	}}
	code = env.Run(context.Background(), append([]string{"stillbright"}, args...))
	return code, out.String(), err.String()
}

func emptyCatalog(t *testing.T) string {
	t.Helper()
	folder := filepath.Join(t.TempDir(), "bench")
	if code, _, stderr := run("catalog", "start", folder, "--name", "My bench"); code != 0 {
		t.Fatal(stderr)
	}
	return folder
}

// TestAddByQuestions: a first test in an empty catalog, with a new bulb, rig and
// lot on the way, stopped half way, offered again and finished.
func TestAddByQuestions(t *testing.T) {
	folder := emptyCatalog(t)
	first := asktest.New(t,
		asktest.Take("--bulb", "+"), asktest.Take("--name", "Grenholt Bright H11"), asktest.Default("--bulb"), asktest.Take("--kind", "led"), asktest.Take("--size", "9005"),
		asktest.Back("--price"), asktest.Take("--size", "h11"), // the wrong size is put right
		asktest.Take("--price", "60usd"), asktest.Default("--per"), asktest.Take("--claim-lumens", "3600"), asktest.Take("--claim-watts", "30"), asktest.Unknown("--claim-cct"), asktest.Take("--claim-per", "each"), asktest.Take("--rear-length", "1.75in"), asktest.Unknown("--emitter-depth"), asktest.Take("--driver", "internal"), asktest.Default("--source"),
		asktest.Take("--rig", "+"), asktest.Take("--rig-name", "projector on a board"), asktest.Take("--rig", "p1"), asktest.Default("--rig-size"), asktest.Take("--rig-beam", "low"), asktest.Take("--housing", "projector"),
		asktest.Take("--distance", "25ft"), asktest.Take("--meter-class", "B"), asktest.Default("--rig-source"),
		asktest.Take("--lot", "2026-02"), asktest.Take("--bought", "2026-02-11"), asktest.Default("--date"),
		asktest.Take("--stock", "700"), asktest.Cancel("--stock-volts"),
	)
	code, stdout, stderr := talk(first, "bench", "add", "--catalog", folder)
	if code != 130 || stdout != "" {
		t.Fatalf("exit code %d: %s%s", code, stdout, stderr)
	}
	if files, _ := filepath.Glob(filepath.Join(folder, "*", "*.yaml")); len(files) > 0 {
		t.Fatalf("half an entry is written: %v", files)
	}
	second := asktest.New(t,
		asktest.Take("What now", "go on"), asktest.Take("--stock-volts", "13.2"),
		asktest.Take("--reading", "5s=1001 1=960"), asktest.Take("--reading", "5min = 880, 30min=832lx"), asktest.Unknown("--reading"),
		asktest.Take("--stock-last", "698"), asktest.Take("--volts", "13.2V"), asktest.Take("--point", "searched"), asktest.Take("--cap", "on"), asktest.Take("--ambient", "70F"),
		asktest.Take("--body", "88"), asktest.Take("--surface", "bare_metal"), asktest.Unknown("--fold-back"), asktest.Take("--watts", "23.6"),
		asktest.Take("--seatings", "3"), asktest.Take("--seating-spread", "4"), asktest.Take("--samples", "1"), asktest.Unknown("--measured-cct"),
		asktest.Take("--pattern-method", "grade"), asktest.Take("--stray-vs-stock", "1.1"), asktest.Unknown("--over-limit"),
		asktest.Take("Cutoff, 0 to 3", "3"), asktest.Take("Hot spot, 0 to 3", "2"), asktest.Take("Evenness of the road area, 0 to 3", "3"), asktest.Unknown("Width, 0 to 3"),
		asktest.Take("--note", "the collar is stiff"), asktest.Take("--yes", ask.Yes),
	)
	code, stdout, stderr = talk(second, "bench", "add", "--catalog", folder)
	if code != 0 {
		t.Fatalf("exit code %d: %s", code, stderr)
	}
	for _, text := range []string{"stopped after", "bulbs/grenholt-bright-h11.yaml (new):", "- {at: 30min, lux: 832}"} {
		if !strings.Contains(stderr, text) {
			t.Errorf("%q is not shown before saving:\n%s", text, stderr)
		}
	}
	for _, text := range []string{"At 30 min: ", "times stock", "Written: " + folder} {
		if !strings.Contains(stdout, text) {
			t.Errorf("%q is not said:\n%s", text, stdout)
		}
	}
	content, err := os.ReadFile(filepath.Join(folder, "bulbs", "grenholt-bright-h11.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	want := `format: 1
id: grenholt-bright-h11
name: Grenholt Bright H11
kind: led
size: H11
price: 60USD
per: pair
claims:
  lumens: 3600
  watts: 30
  per: each
build:
  rear_length: 44.45mm
supply:
  driver: internal
lots:
  - lot: 2026-02
    bought: 2026-02-11
    tests:
      - rig: p1
        date: 2026-03-14
        volts: 13.2
        stock: {first: 700, last: 698, volts: 13.2}
        readings:
          - {at: 0.0833min, lux: 1001}
          - {at: 1min, lux: 960}
          - {at: 5min, lux: 880}
          - {at: 30min, lux: 832}
        point: searched
        cap: on
        ambient: 21.1111C
        body: 88C
        surface: bare_metal
        watts: 23.6
        seatings: 3
        seating_spread: 4%
        samples: 1
        pattern:
          method: grade
          marks: {cutoff: 3, hot_spot: 2, dark: 3}
          stray_vs_stock: 1.1
        notes: [the collar is stiff]
source: own bench, My bench
`
	if withoutQuotes := strings.ReplaceAll(string(content), `"`, ""); withoutQuotes != want {
		t.Errorf("written:\n%s\nwant:\n%s", content, want)
	}
	if drafts, err := store.Drafts(folder); err != nil || len(drafts) > 0 {
		t.Errorf("the draft is still offered: %v, %v", drafts, err)
	}
}

// TestAddStartsOver: the old entry is kept in the history, and "no" before saving
// keeps the new one.
func TestAddStartsOver(t *testing.T) {
	folder := emptyCatalog(t)
	stop := func() *asktest.Script {
		return asktest.New(t, asktest.Take("--bulb", "+"), asktest.Cancel("--name"))
	}
	if code, _, stderr := talk(stop(), "bench", "add", "--catalog", folder); code != 130 {
		t.Fatal(stderr)
	}
	again := asktest.New(t, asktest.Take("What now", "start over"), asktest.Take("--bulb", "+"), asktest.Cancel("--name"))
	if code, _, stderr := talk(again, "bench", "add", "--catalog", folder); code != 130 {
		t.Fatal(stderr)
	}
	if kept, _ := filepath.Glob(filepath.Join(folder, store.HistoryDir, "add*.jsonl")); len(kept) != 1 {
		t.Errorf("in the history: %v", kept)
	}
	if drafts, _ := store.Drafts(folder); len(drafts) != 1 || drafts[0].Entries != 1 {
		t.Errorf("drafts %v", drafts)
	}
}

// TestAddNotSaved: the record is shown, the answer is no, nothing is written and
// nothing is lost.
func TestAddNotSaved(t *testing.T) {
	folder := benchFlagsCatalog(t)
	answers := []asktest.Line{asktest.Take("--lot", "1"), asktest.Take("--reading", "0=1001 30=832"), asktest.Unknown("--reading")}
	for _, flag := range []string{"--volts", "--point", "--cap", "--ambient", "--body", "--fold-back", "--watts", "--seatings", "--samples", "--measured-cct", "--pattern-method", "--note"} {
		answers = append(answers, asktest.Unknown(flag))
	}
	script := asktest.New(t, append(answers, asktest.Take("--yes", ask.No))...)
	code, _, stderr := talk(script, "bench", "add", "b", "--catalog", folder, "--rig", "r", "--stock", "700", "--stock-last", "700", "--stock-volts", "13.2", "--date", "2026-03-10")
	if code != 130 || !strings.Contains(stderr, "Not saved; the answers are kept") {
		t.Fatalf("exit code %d: %s", code, stderr)
	}
	// The flag that stands for the yes saves what was answered.
	code, stdout, stderr := talk(asktest.New(t, asktest.Take("What now", "go on")), "bench", "add", "b", "--catalog", folder, "--yes")
	if code != 0 || !strings.Contains(stdout, "Written: ") {
		t.Fatalf("exit code %d: %s%s", code, stdout, stderr)
	}
}

// benchFlagsCatalog has one bulb in one rig, made by flags alone.
func benchFlagsCatalog(t *testing.T) string {
	t.Helper()
	folder := emptyCatalog(t)
	code, _, stderr := run("bench", "add", "b", "--catalog", folder, "--name", "Tested bulb", "--kind", "led", "--size", "H11", "--rig", "r", "--rig-name", "board", "--rig-size", "H11",
		"--rig-beam", "low", "--housing", "projector", "--lot", "1", "--bought", "2026-01-05", "--date", "2026-03-01", "--reading", "0=1500", "--reading", "30=1300")
	if code != 0 {
		t.Fatal(stderr)
	}
	return folder
}

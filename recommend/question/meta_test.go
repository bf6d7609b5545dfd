package question

import (
	"encoding/json"
	"os"
	"strings"
	"sync"
	"testing"
)

// allQuestions are the labelled questions of both sets.
func allQuestions(t testing.TB) []string {
	var out []string
	for _, file := range []string{"../../testdata/questions/dev.jsonl", "../../testdata/questions/own.jsonl"} {
		if _, err := os.Stat(file); err != nil {
			t.Fatal(err)
		}
		for _, l := range readSet(t, file) {
			out = append(out, l.Q)
		}
	}
	return out
}

func slotsOf(t testing.TB, u Understood) string {
	t.Helper()
	b, err := json.Marshal(u)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// TestUnderstoodDoesNotChange writes each question in other ways that say the same.
func TestUnderstoodDoesNotChange(t *testing.T) {
	r := newReader(t)
	ways := map[string]func(string) string{
		"upper case":      strings.ToUpper,
		"lower case":      strings.ToLower,
		"hello before":    func(q string) string { return "Hello there, long time viewer. " + q },
		"thanks after":    func(q string) string { return q + " . Thanks in advance!" },
		"cheers after":    func(q string) string { return q + "\nCheers, and keep up the work" },
		"greeting before": func(q string) string { return "Good evening everyone! " + q },
		"spaces":          func(q string) string { return "  " + strings.ReplaceAll(q, " ", "  ") + " " },
		"zero-width":      func(q string) string { return strings.ReplaceAll(q, " ", "\u200b ") },
	}
	for _, q := range allQuestions(t) {
		plain := r.Read(q)
		want := slotsOf(t, plain)
		for name, way := range ways {
			if q == "hi" || q == "hello" {
				continue
			}
			if got := slotsOf(t, r.Read(way(q))); got != want {
				t.Errorf("%s changes %q\n  from %s\n  to   %s", name, q, want, got)
			}
		}
	}
}

// TestUnrelatedSentencesMayStandAnywhere moves sentences that say nothing of the lamps around.
func TestUnrelatedSentencesMayStandAnywhere(t *testing.T) {
	r := newReader(t)
	fillers := []string{"My brother told me about this channel.", "I have watched for years.", "Sorry for the long message."}
	for _, q := range allQuestions(t) {
		if !strings.HasSuffix(q, "?") && !strings.HasSuffix(q, ".") {
			q += "."
		}
		first := slotsOf(t, r.Read(fillers[0]+" "+fillers[1]+" "+q+" "+fillers[2]))
		second := slotsOf(t, r.Read(fillers[2]+" "+q+" "+fillers[1]+" "+fillers[0]))
		if first != second {
			t.Errorf("%q depends on where unrelated sentences stand\n  %s\n  %s", q, first, second)
		}
	}
}

// TestTypoOutsideTheSlots doubles a letter in words that no phrase knows.
func TestTypoOutsideTheSlots(t *testing.T) {
	r := newReader(t)
	changed := 0
	for _, q := range allQuestions(t) {
		f := fold(q)
		toks := split(f)
		r.words.identify(toks)
		want := slotsOf(t, r.Read(q))
		for _, tok := range toks {
			if tok.kind != word || tok.word != 0 || tok.stem[0] != 0 || len(tok.text) < 5 || len(tok.text) > 12 {
				continue
			}
			typo := q[:tok.from+3] + q[tok.from+2:]
			if got := slotsOf(t, r.Read(typo)); got != want {
				t.Errorf("a typo in %q changes %q\n  from %s\n  to   %s", tok.text, q, want, got)
			}
			changed++
		}
	}
	if changed < 300 {
		t.Errorf("only %d typos were tried", changed)
	}
}

// TestEverySlotKeepsItsWords checks that a slot that is filled says where it was read.
func TestEverySlotKeepsItsWords(t *testing.T) {
	r := newReader(t)
	for _, q := range allQuestions(t) {
		u := r.Read(q)
		for slot, filled := range map[string]bool{
			"budget": u.Budget != nil, "rear_clearance_mm": u.RearClearanceMM != nil, "canbus": u.Canbus != nil, "driver": u.Driver != "",
			"where": u.Where != "", "trip_min": u.TripMin != nil, "speed_kmh": u.SpeedKmh != nil, "climate": u.Climate != "", "cct_k": u.CCTK != nil,
			"plug_and_play": u.PlugAndPlay != nil, "lamps[0]": len(u.Lamps) > 0, "driving[0]": len(u.Driving) > 0,
		} {
			if filled != (len(u.Spans[slot]) > 0) {
				t.Errorf("%q: %s filled %v, spans %v", q, slot, filled, u.Spans[slot])
			}
		}
	}
}

func TestReadIsSafeForSeveralGoroutines(t *testing.T) {
	r := newReader(t)
	questions := allQuestions(t)[:60]
	var want []string
	for _, q := range questions {
		want = append(want, slotsOf(t, r.Read(q)))
	}
	var group sync.WaitGroup
	for range 4 {
		group.Go(func() {
			for i, q := range questions {
				if got := slotsOf(t, r.Read(q)); got != want[i] {
					t.Errorf("%q differs between goroutines", q)
				}
			}
		})
	}
	group.Wait()
}

package cli_test

import (
	"encoding/json"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"stillbright/recommend/need"
	"stillbright/recommend/reply"
)

// asTyped is a value of each fact of the need, other than what is assumed without
// it; wagon is a car of the test's catalog.
var asTyped = map[string]string{
	"size": "H7", "beam": "high", "housing": "reflector", "driving": "rural,rain", "car": "wagon", "trip": "45.5min", "speed": "90km/h",
	"climate": "cold", "budget": "79.5USD", "per": "all", "rear-clearance": "57.15mm", "front-clearance": "61mm", "driver": "inline",
	"canbus": "false", "polarity": "reversed", "volts": "13.4V", "plug-and-play": "true", "halogens": "old", "lens": "hazy", "cct": "4300K", "where": "US-VA",
	"weights": "output=0.2,pattern=0.3,heat=0.5",
}

// document runs a pick command and gives its need and the rest of its document.
func document(t *testing.T, words []string) (n need.Need, rest map[string]any) {
	t.Helper()
	code, stdout, stderr := run(append(words, "--json")...)
	if code != 0 && code != 3 {
		t.Fatalf("%v: exit code %d: %s", words, code, stderr)
	}
	if err := json.Unmarshal([]byte(stdout), &rest); err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(rest["need"])
	if err == nil {
		err = json.Unmarshal(text, &n)
	}
	if err != nil {
		t.Fatal(err)
	}
	return n, rest
}

// TestEveryFactIsAFlag: each fact of the need is read from its flag into the
// document; the command made of that need gives the same document; the long answer
// shows it, and completion has something for it.
func TestEveryFactIsAFlag(t *testing.T) {
	folder := emptyCatalog(t)
	if code, _, stderr := run("car", "add", "wagon", "--catalog", folder, "--lamp", "size=H7,beam=low,housing=projector"); code != 0 {
		t.Fatal(stderr)
	}
	for _, f := range need.Facts() {
		typed, ok := asTyped[f.Flag]
		if !ok {
			t.Errorf("--%s: no value to try", f.Flag)
			continue
		}
		words := []string{"pick", "--catalog", folder, "--housing", "projector", "--size", "H7"}
		switch {
		case f.Kind == need.OfWish:
			words = append(words, "--"+f.Flag)
		case f.Flag == "car":
			words = append(words[:5:5], "--car", typed)
		case f.Slot == need.Size:
		case f.Slot == need.Housing:
			words[4] = typed
		case f.Kind == need.OfPer:
			words = append(words, "--budget", "60USD", "--per", typed)
		default:
			words = append(words, "--"+f.Flag, typed)
		}
		n, first := document(t, words)
		n.OwnWeights = f.Kind == need.OfWeights
		if f.Kind == need.OfCar {
			n.Car = typed
		}
		if got := f.Text(n); got != typed {
			t.Errorf("--%s %s arrives as %q", f.Flag, typed, got)
		}
		again := append(strings.Fields(need.Command(n))[1:], "--catalog", folder)
		if !slices.Contains(again, "--"+f.Flag) {
			t.Errorf("the command lacks --%s: %v", f.Flag, again)
		}
		_, second := document(t, again)
		delete(first, "notes") // what was assumed in the first is said in the second
		delete(second, "notes")
		if !reflect.DeepEqual(first, second) {
			t.Errorf("--%s %s: %v gives another document", f.Flag, typed, again)
		}
		if f.Kind == need.OfCar || f.Kind == need.OfSize || f.Slot == need.Beam {
			continue
		}
		said := f.Said(n)
		if f.Kind == need.OfPer {
			said = need.Of(need.Money).Said(n)
		}
		_, full, _ := run(append(words, "--full")...)
		_, head, _ := strings.Cut(strings.Join(strings.Fields(full), " "), "The need ")
		if said == "" || !strings.Contains(head, said) {
			t.Errorf("--%s %s: %q is not under The need: %.300s", f.Flag, typed, said, head)
		}
	}
}

// TestReplyNamesItsRecords: the command of a reply takes the records that the reply
// was made from, so that it names the same bulb.
func TestReplyNamesItsRecords(t *testing.T) {
	folder := emptyCatalog(t)
	plain := filepath.Join(t.TempDir(), "my bench")
	if code, _, stderr := run("catalog", "start", plain, "--name", "Another"); code != 0 {
		t.Fatal(stderr)
	}
	for folder, want := range map[string]string{folder: " --catalog " + folder, plain: " --catalog '" + plain + "'", "": ""} {
		words := []string{"reply", "which H11 for unlit roads, projector?", "--json"}
		if folder != "" {
			words = append(words, "--catalog", folder)
		}
		_, stdout, stderr := run(words...)
		var reply reply.Reply
		if err := json.Unmarshal([]byte(stdout), &reply); err != nil || len(reply.Lamps) != 1 {
			t.Fatalf("%v: %s", err, stderr)
		}
		if command := reply.Lamps[0].Command; !strings.HasSuffix(command, want) || want == "" && strings.Contains(command, "--catalog") {
			t.Errorf("the command is %q, want it to end in %q", command, want)
		}
	}
}

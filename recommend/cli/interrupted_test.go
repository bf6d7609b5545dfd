//go:build linux

package cli_test

import (
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"stillbright/recommend/ask/asktest"
)

// ends are the ways in which an entry is left before it is complete.
var ends = map[string]func(s *asktest.Screen){
	"Ctrl-C":  func(s *asktest.Screen) { s.Send("\x03") },
	"Ctrl-D":  func(s *asktest.Screen) { s.Send("\x04") },
	"SIGTERM": func(s *asktest.Screen) { s.Signal(syscall.SIGTERM) },
	"SIGINT":  func(s *asktest.Screen) { s.Signal(syscall.SIGINT) },
	"SIGHUP":  func(s *asktest.Screen) { s.Signal(syscall.SIGHUP) },
	"SIGKILL": func(s *asktest.Screen) { s.Kill() },
}

func newCatalog(t *testing.T) string {
	t.Helper()
	folder := filepath.Join(t.TempDir(), "bench")
	if out, err := program(t, "catalog", "start", folder).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return folder
}

// left checks how the program ended: quietly where it could, with the terminal
// as it was, and the command that goes on.
func left(t *testing.T, s *asktest.Screen, how, says string) {
	t.Helper()
	s.WaitEnd()
	code := s.Exit()
	if how == "SIGKILL" {
		return
	}
	if _, _, shown := s.Cursor(); code != 130 || !shown || !s.Cooked() {
		t.Errorf("%s: exit code %d, cursor %v, terminal as it was %v", how, code, shown, s.Cooked())
	}
	text := strings.Join(strings.Fields(s.Text()), "") // a long path is broken by the terminal
	if !strings.Contains(text, strings.ReplaceAll(says, " ", "")) || !strings.HasSuffix(text, "stillbright:cancelled") {
		t.Errorf("%s: it does not say %q:\n%s", how, says, s.Text())
	}
}

// TestCarAddIsTakenUpAgain: whatever ends the entry of a car, the same command
// goes on behind the last answer, and a step back reaches those before it.
func TestCarAddIsTakenUpAgain(t *testing.T) {
	for how, leave := range ends {
		t.Run(how, func(t *testing.T) {
			t.Parallel()
			heeded(t, how)
			folder := newCatalog(t)
			first := asktest.Run(t, 80, 24, program(t, "car", "add", "mine", "--catalog", folder))
			first.Wait("What you call the car:")
			first.Send("Little hatch\r")
			first.Wait("Place whose rules apply (e.g. GB, US-VA): _")
			first.Send("united king\r")
			first.Wait("Climate where it is driven: _")
			leave(first)
			left(t, first, how, "To go on: stillbright car add mine --catalog "+folder)

			second := asktest.Run(t, 80, 24, program(t, "car", "add", "mine", "--catalog", folder))
			second.Wait("interrupted after 2 answers")
			second.Wait("Climate where it is driven: _")
			if how != "SIGHUP" { // one of them goes on to the end
				return
			}
			second.Send("<")
			second.Wait("> United Kingdom") // the former answer
			second.Send("germany\r")
			second.Wait("Place whose rules apply (e.g. GB, US-VA): Germany")
			second.Wait("Climate where it is driven: _")
			second.Send("cold\r")
			for _, a := range []step{
				{"Volts at the plug", "-\r"}, {"Does it warn", "y\r"}, {"Bulb size on the old bulb", "h7\r"}, {"What this lamp does: _", "low\r"}, {"Kind of lamp: _", "refl\r"},
				{"Flange to the closed cap", "61mm\r"}, {"Cap off: flange", "-\r"}, {"What closes the lamp", "boot\r"}, {"Flange to the shield", "-\r"},
				{"What holds the bulb", "wire\r"}, {"How the plug is wired", "normal\r"}, {"How daytime lights feed", "steady\r"}, {"Lamp centre above", "-\r"},
				{"Dip on the plate", "1.2%\r"}, {"Marking on the lens", "-\r"}, {"Another lamp", "y"},
				{"Bulb size on the old bulb (e.g. H11): _", "<"}, {"> yes", "n"}, // there is no second lamp after all
			} {
				second.Wait(a.question)
				second.Send(a.keys)
			}
			second.WaitEnd()
			if code := second.Exit(); code != 0 {
				t.Fatalf("exit code %d:\n%s", code, second.Text())
			}
			text, err := os.ReadFile(filepath.Join(folder, "cars", "mine.yaml"))
			if err != nil {
				t.Fatal(err)
			}
			for _, want := range []string{"name: Little hatch", "where: DE", "climate: cold", "canbus: true", "rear_clearance: 61mm", "retention: wire_clip"} {
				if !strings.Contains(string(text), want) {
					t.Errorf("the record lacks %q:\n%s", want, text)
				}
			}
			if n := strings.Count(string(text), "size:"); n != 1 {
				t.Errorf("%d lamps:\n%s", n, text)
			}
		})
	}
}

// heeded passes over a hangup where the test itself was told to ignore it, as
// under nohup: the program then ignores it too, and has to.
func heeded(t *testing.T, how string) {
	t.Helper()
	if how == "SIGHUP" && signal.Ignored(syscall.SIGHUP) {
		t.Skip("SIGHUP is ignored here, as under nohup")
	}
}

// TestLiveRunIsTakenUpAgain: the same of a bench run in front of the lamp.
func TestLiveRunIsTakenUpAgain(t *testing.T) {
	for how, leave := range ends {
		t.Run(how, func(t *testing.T) {
			t.Parallel()
			heeded(t, how)
			folder := benchCatalog(t)
			run := func() *asktest.Screen {
				return asktest.Run(t, 80, 24, program(t, "bench", "run", "b", "--catalog", folder, "--rig", "r", "--lot", "1"))
			}
			first := run()
			first.Wait("Stock halogen before the bulb, lux:")
			first.Send("832\r")
			first.Wait("Volts at the plug, halogen lit")
			leave(first)
			first.WaitEnd()
			if code := first.Exit(); how != "SIGKILL" && (code != 130 || !first.Cooked()) {
				t.Errorf("exit code %d, terminal as it was %v", code, first.Cooked())
			}

			second := run()
			second.Wait("Going on with the run")
			second.Wait("Volts at the plug, halogen lit")
			second.Send("13.2\r")
			second.Wait("press Enter at the same moment")
			second.Send("\r")
			second.Wait("lux:")
			second.Send("1500\r")
			second.Wait("kept 1:")
			leave(second)
			left(t, second, how, "1 reading is kept; with --finish the record is saved as it is. To go on: stillbright bench run b --rig r --catalog "+folder)
			if kept := journal(t, folder); len(kept) != 1 || !strings.HasSuffix(kept[0], "=1500") {
				t.Errorf("on the disk: %v", kept)
			}
		})
	}
}

//go:build linux

package cli_test

import (
	"bufio"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"stillbright/data/store"
	"stillbright/recommend/ask/asktest"
)

// benchCatalog lays out a catalog with one bulb, one lot and one rig.
func benchCatalog(t *testing.T) string {
	t.Helper()
	folder := filepath.Join(t.TempDir(), "bench")
	for _, args := range [][]string{
		{"catalog", "start", folder},
		{"bench", "add", "b", "--catalog", folder, "--name", "Tested bulb", "--kind", "led", "--size", "H11", "--rig", "r", "--rig-name", "board", "--rig-size", "H11",
			"--rig-beam", "low", "--housing", "projector", "--lot", "1", "--bought", "2026-02-01", "--date", "2026-03-01", "--reading", "0=1500", "--reading", "30=1300"},
	} {
		if out, err := program(t, args...).CombinedOutput(); err != nil {
			t.Fatalf("%v: %v: %s", args, err, out)
		}
	}
	return folder
}

// journal lists the readings that the open run of the catalog has on the disk.
func journal(t *testing.T, folder string) []string {
	t.Helper()
	draft, err := store.OpenDraft(folder, "run-b-r", time.Now)
	if err != nil {
		t.Fatal(err)
	}
	defer draft.Close()
	var readings []string
	for _, entry := range draft.Entries {
		if entry.Key == "reading" {
			readings = append(readings, entry.Value)
		}
	}
	return readings
}

// killed counts what a run of kills has shown.
type killed struct{ kills, acknowledged, beyond, without int }

// see holds what is on the disk to what was acknowledged: nothing less, and
// nothing that was not typed.
func (k *killed) see(t *testing.T, folder string, acknowledged int, typed func(i int) string) {
	t.Helper()
	kept := journal(t, folder)
	if err := os.Remove(filepath.Join(folder, store.DraftsDir, "run-b-r.jsonl")); err != nil {
		t.Fatal(err)
	}
	k.kills++
	k.acknowledged += acknowledged
	k.beyond += len(kept) - acknowledged
	if len(kept) == 0 {
		k.without++
	}
	if len(kept) < acknowledged {
		t.Errorf("kill %d: %d readings acknowledged, %d on the disk", k.kills, acknowledged, len(kept))
	}
	for i, reading := range kept {
		if reading != typed(i) {
			t.Errorf("kill %d: reading %d on the disk is %q, typed was %q", k.kills, i+1, reading, typed(i))
		}
	}
}

// TestRunKilledOnAPipe: a bench run that takes its readings from a pipe and is
// killed with SIGKILL at any moment has every reading on the disk that it said
// was kept.
func TestRunKilledOnAPipe(t *testing.T) {
	kills := 180
	if testing.Short() {
		kills = 20
	}
	folder := benchCatalog(t)
	random := rand.New(rand.NewPCG(3, 1))
	var seen killed
	for range kills {
		command := program(t, "bench", "run", "b", "--catalog", folder)
		acknowledged := killAfter(t, command, random.IntN(12), time.Duration(random.IntN(3000))*time.Microsecond)
		seen.see(t, folder, acknowledged, func(i int) string { return fmt.Sprintf("%smin=%d", minuteText(i), 1500-i) })
	}
	t.Logf("%d kills: %d readings acknowledged, all on the disk; %d more were on the disk and not yet acknowledged; %d runs without a reading", seen.kills, seen.acknowledged, seen.beyond, seen.without)
	if !testing.Short() && (seen.acknowledged < 3*kills || seen.beyond == 0 || seen.without == 0) {
		t.Errorf("the kills do not fall while it writes: %+v", seen)
	}
}

func minuteText(i int) string { return strings.TrimSuffix(fmt.Sprintf("%.1f", float64(i)/10), ".0") }

// killAfter feeds readings until so many are acknowledged and a moment more has
// passed, kills the program, and returns how many it acknowledged in all.
func killAfter(t *testing.T, command *exec.Cmd, wanted int, more time.Duration) int {
	t.Helper()
	in, err := command.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := command.StderrPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := command.Start(); err != nil {
		t.Fatal(err)
	}
	go func() { // ends when the program is gone
		for i := 0; ; i++ {
			if _, err := fmt.Fprintf(in, "%s,%d\n", minuteText(i), 1500-i); err != nil {
				return
			}
		}
	}()
	acknowledged := 0
	kill := func() {
		time.Sleep(more)
		_ = command.Process.Kill()
	}
	if wanted == 0 {
		more *= 15 // about the time the program takes to start
		go kill()
	}
	for lines := bufio.NewScanner(out); lines.Scan(); {
		if !strings.HasPrefix(lines.Text(), "kept ") {
			continue
		}
		if acknowledged++; acknowledged == wanted {
			go kill()
		}
	}
	_ = command.Wait()
	return acknowledged
}

// TestRunKilledOnATerminal: the same for readings typed at a terminal.
func TestRunKilledOnATerminal(t *testing.T) {
	kills := 20
	if testing.Short() {
		kills = 3
	}
	folder := benchCatalog(t)
	random := rand.New(rand.NewPCG(3, 2))
	var seen killed
	for round := range kills {
		command := program(t, "bench", "run", "b", "--catalog", folder, "--lot", "1", "--stock", "1000", "--stock-volts", "13.2")
		if round%2 == 1 {
			command.Args = append(command.Args, "--plain")
		}
		screen := asktest.Run(t, 80, 24, command)
		screen.Wait("press Enter at the same moment")
		screen.Send("\n")
		acknowledged := random.IntN(5)
		for i := range acknowledged + 1 {
			screen.Send(fmt.Sprintf("%.3f %d\n", float64(i)/1000, 1500-i))
			if i < acknowledged {
				screen.Wait(fmt.Sprintf("kept %d:", i+1))
			}
		}
		time.Sleep(time.Duration(random.IntN(3000)) * time.Microsecond)
		screen.Kill()
		seen.see(t, folder, acknowledged, func(i int) string {
			return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.3f", float64(i)/1000), "0"), ".") + fmt.Sprintf("min=%d", 1500-i)
		})
	}
	t.Logf("%d kills: %d readings acknowledged, all on the disk; %d more were on the disk and not yet acknowledged", seen.kills, seen.acknowledged, seen.beyond)
}

// TestRunGoesOnAfterAKill: the run that was killed goes on where it stopped and
// ends as one record with every reading.
func TestRunGoesOnAfterAKill(t *testing.T) {
	folder := benchCatalog(t)
	acknowledged := killAfter(t, program(t, "bench", "run", "b", "--catalog", folder, "--stock", "1000"), 4, 0)
	kept := len(journal(t, folder))
	// What is sent again is known; what is new is added.
	command := program(t, "bench", "run", "b", "--catalog", folder, "--volts", "13.2")
	command.Stdin = strings.NewReader(fmt.Sprintf("%s,%d\n20,1300\n30,1299\n", minuteText(0), 1500))
	out, err := command.CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	for _, text := range []string{fmt.Sprintf("%d readings kept", kept), "kept before: 0 min 1500 lux", fmt.Sprintf("kept %d: 20 min", kept+1)} {
		if !strings.Contains(string(out), text) {
			t.Errorf("%q is not said:\n%s", text, out)
		}
	}
	shown, err := program(t, "show", "b", "--catalog", folder, "--json").Output()
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(string(shown), `"at_min"`) - strings.Count(string(shown), `"settled_at_min"`); acknowledged < 4 || !strings.Contains(string(shown), `"at_min": 20,`) || n < kept+2 {
		t.Errorf("%d readings were kept before the kill, and the record shows:\n%s", kept, shown)
	}
	if drafts, err := store.Drafts(folder); err != nil || len(drafts) > 0 {
		t.Errorf("the journal is still open: %v, %v", drafts, err)
	}
}

//go:build linux

package cli_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"stillbright/recommend/ask/asktest"
)

// TestCarAddSurvivesKills: a program that is killed at any moment while it adds
// a car leaves a catalog that loads, with every car it said was written.
// STILLBRIGHT_KILLS sets how often; a few are enough each day.
func TestCarAddSurvivesKills(t *testing.T) {
	kills := 40
	if n, err := strconv.Atoi(os.Getenv("STILLBRIGHT_KILLS")); err == nil {
		kills = n
	}
	if testing.Short() {
		kills = 5
	}
	folder := filepath.Join(t.TempDir(), "bench")
	if out, err := program(t, "catalog", "start", folder).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	whole := took(t, folder)
	r := rand.New(rand.NewPCG(1, 2))
	var acknowledged []string
	for i := range kills {
		id := fmt.Sprintf("car-%03d", i)
		command := program(t, "car", "add", id, "--catalog", folder, "--lamp", "size=H7,beam=low,rear_clearance=55mm")
		var out bytes.Buffer
		command.Stdout = &out
		if err := command.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Duration(r.Float64() * 1.3 * float64(whole)))
		_ = command.Process.Kill()
		_ = command.Wait()
		if strings.Contains(out.String(), "written.") {
			acknowledged = append(acknowledged, id)
		}
	}
	check := program(t, "catalog", "check", "--catalog", folder)
	if out, err := check.CombinedOutput(); err != nil {
		t.Fatalf("the catalog does not check: %v\n%s", err, out)
	}
	listed, err := program(t, "car", "list", "--catalog", folder).Output()
	if err != nil {
		t.Fatal(err)
	}
	for _, id := range acknowledged {
		if !strings.Contains(string(listed), id) {
			t.Errorf("%s was said to be written and is not there", id)
		}
	}
	t.Logf("%d kills, %d cars acknowledged, all there", kills, len(acknowledged))
	if len(acknowledged) == 0 || len(acknowledged) == kills && kills > 10 {
		t.Errorf("%d of %d were acknowledged: the kills do not fall while it writes", len(acknowledged), kills)
	}
}

// took measures how long adding one car takes here.
func took(t *testing.T, folder string) time.Duration {
	t.Helper()
	start := time.Now()
	if out, err := program(t, "car", "add", "first", "--catalog", folder, "--lamp", "size=H7,beam=low").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return time.Since(start)
}

// TestCarAddGoesOnAfterAKill: what was answered before the program was killed is
// not asked again.
func TestCarAddGoesOnAfterAKill(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "bench")
	if out, err := program(t, "catalog", "start", folder).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	add := func() *exec.Cmd { return program(t, "car", "add", "mine", "--plain", "--catalog", folder) }
	first := asktest.Run(t, 80, 24, add())
	first.Wait("What you call the car")
	first.Send("Little hatch\n")
	first.Wait("Place whose rules apply")
	first.Send("GB\n")
	first.Wait("Climate where it is driven")
	first.Kill()

	second := asktest.Run(t, 80, 24, add())
	second.Wait("interrupted after 2 answers")
	answers := []step{
		{"Climate where it is driven", "mild\n"}, {"Volts at the plug", "-\n"}, {"Does it warn", "-\n"},
		{"Bulb size on the old bulb", "H7\n"}, {"What this lamp does", "low\n"}, {"Kind of lamp", "reflector\n"},
		{"Flange to the closed cap", "61mm\n"}, {"Cap off: flange", "-\n"}, {"What closes the lamp", "-\n"}, {"Flange to the shield", "-\n"},
		{"What holds the bulb", "-\n"}, {"How the plug is wired", "-\n"}, {"How daytime lights feed", "-\n"}, {"Lamp centre above", "-\n"},
		{"Dip on the plate", "1.2%\n"}, {"Marking on the lens", "-\n"}, {"Another lamp", "no\n"},
	}
	for _, a := range answers {
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
	for _, want := range []string{"name: Little hatch", "where: GB", "climate: mild", "rear_clearance: 61mm", "dip: 1.2%"} {
		if !strings.Contains(string(text), want) {
			t.Errorf("the record lacks %q:\n%s", want, text)
		}
	}
}

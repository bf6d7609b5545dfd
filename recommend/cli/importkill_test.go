//go:build linux

package cli_test

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"stillbright/data/known"
	"stillbright/data/store"
)

// importBulbs is how many bulbs the sheets of these tests share; each sheet has
// a test of four of them, on a day of its own.
const importBulbs = 12

// importDay is the day of the tests of one sheet; no two have the same.
func importDay(sheet int) string {
	return time.Date(2020, 1, 1+sheet, 0, 0, 0, 0, time.UTC).Format("2006-01-02")
}

// importSheet writes one sheet: four bulbs, each with two readings and the stock
// halogen. The figures are invented.
func importSheet(t *testing.T, folder string, sheet int) string {
	t.Helper()
	text := "Bulb,Size,Date,Projector lux 0 min,Projector lux lit 30 min,Projector halogen lux\n"
	for i := range 4 {
		bulb := (sheet*5 + i) % importBulbs
		text += fmt.Sprintf("Tested %c,H11,%s,%d,%d,700\n", 'A'+bulb, importDay(sheet), 1300+sheet%50, 1200+bulb)
	}
	name := filepath.Join(folder, fmt.Sprintf("sheet-%03d.csv", sheet))
	if err := os.WriteFile(name, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return name
}

// importCatalog is a catalog with the rig the sheets need.
func importCatalog(t *testing.T) string {
	t.Helper()
	folder := filepath.Join(t.TempDir(), "bench")
	if out, err := program(t, "catalog", "start", folder).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	rig := "id: h11-projector\nname: Board with an invented lamp\nsize: H11\nbeam: low\nhousing: projector\nsource: invented for a test\n"
	if err := os.WriteFile(filepath.Join(folder, "rigs", "h11-projector.yaml"), []byte("format: 1\n"+rig), 0o600); err != nil {
		t.Fatal(err)
	}
	return folder
}

// testsOnDisk loads a catalog strictly and counts, for each day, the bulbs that
// have a test of it. A test that stands twice is a fault.
func testsOnDisk(t *testing.T, folder string) map[string][]string {
	t.Helper()
	read, err := store.Load(os.DirFS(folder), folder, store.Knowledge{Sizes: known.Sizes(), Places: known.Places(), Rules: known.Rules(), Words: known.Words()})
	if err != nil {
		t.Fatalf("the catalog does not load: %v", err)
	}
	days := map[string][]string{}
	for _, bulb := range read.Catalog.Bulbs {
		for _, lot := range bulb.Lots {
			for _, test := range lot.Tests {
				day := string(test.Date)
				if slices.Contains(days[day], bulb.ID) {
					t.Errorf("%s has two tests of %s", bulb.ID, day)
				}
				if len(test.Readings) != 2 {
					t.Errorf("%s of %s has %d readings", bulb.ID, day, len(test.Readings))
				}
				days[day] = append(days[day], bulb.ID)
			}
		}
	}
	return days
}

func killsWanted(t *testing.T, daily int) int {
	t.Helper()
	if n, err := strconv.Atoi(os.Getenv("STILLBRIGHT_KILLS")); err == nil {
		return n
	}
	if testing.Short() {
		return 5
	}
	return daily
}

// TestImportSurvivesKills: an import that is killed with SIGKILL at any moment
// leaves a catalog that loads, with every row it said was taken; the same
// command again takes the rest, and nothing twice. STILLBRIGHT_KILLS sets how
// often; a few are enough each day.
func TestImportSurvivesKills(t *testing.T) {
	kills := killsWanted(t, 30)
	folder, sheets := importCatalog(t), t.TempDir()
	var whole time.Duration
	for i := range 3 { // the first one is slow
		start := time.Now()
		if out, err := program(t, "catalog", "import", importSheet(t, sheets, 900+i), "--catalog", folder).CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, out)
		}
		whole = time.Since(start)
	}
	r := rand.New(rand.NewPCG(7, 2))
	acknowledged, whole4, part, none := 0, 0, 0, 0
	for i := range kills {
		sheet := i + 1
		command := program(t, "catalog", "import", importSheet(t, sheets, sheet), "--catalog", folder)
		var out bytes.Buffer
		command.Stdout = &out
		if err := command.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Duration(r.Float64() * 1.2 * float64(whole)))
		_ = command.Process.Kill()
		_ = command.Wait()
		said := strings.Contains(out.String(), "4 rows added")
		switch there := len(testsOnDisk(t, folder)[importDay(sheet)]); {
		// The machine may be busier now than when the time was taken.
		case there == 4:
			whole4++
			whole = whole * 9 / 10
		case there > 0:
			part++
		default:
			none++
			whole = whole * 21 / 20
		}
		if said {
			acknowledged++
			if n := len(testsOnDisk(t, folder)[importDay(sheet)]); n != 4 {
				t.Errorf("kill %d: four rows were said to be added, %d are there", i, n)
			}
		}
	}
	t.Logf("%d kills: %d imports acknowledged, all there; %d on the disk whole, %d in part, %d not begun", kills, acknowledged, whole4, part, none)
	if kills >= 30 && (acknowledged == kills || none == kills || whole4 == 0) {
		t.Errorf("the kills do not fall while it writes")
	}
	for i := range kills { // again: the rest comes, and nothing twice
		out, err := program(t, "catalog", "import", filepath.Join(sheets, fmt.Sprintf("sheet-%03d.csv", i+1)), "--catalog", folder).CombinedOutput()
		if err != nil {
			t.Fatalf("again: %v: %s", err, out)
		}
	}
	for day, bulbs := range testsOnDisk(t, folder) {
		if len(bulbs) != 4 {
			t.Errorf("%s: %d tests, want 4", day, len(bulbs))
		}
	}
	if days := len(testsOnDisk(t, folder)); days != kills+3 {
		t.Errorf("%d days are there, want %d", days, kills+3)
	}
}

// TestExportSurvivesKills: an export over an older one that is killed leaves the
// old file or the new one, whole.
func TestExportSurvivesKills(t *testing.T) {
	kills := killsWanted(t, 15)
	folder, sheets := importCatalog(t), t.TempDir()
	if out, err := program(t, "catalog", "import", importSheet(t, sheets, 0), "--catalog", folder).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	target := filepath.Join(sheets, "out.csv")
	export := []string{"catalog", "export", target, "--force", "--catalog", folder}
	start := time.Now()
	if out, err := program(t, export...).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	whole := time.Since(start)
	fresh, err := os.ReadFile(target)
	if err != nil {
		t.Fatal(err)
	}
	r := rand.New(rand.NewPCG(7, 3))
	old := []byte("an older export\n")
	olds, news := 0, 0
	for range kills {
		if err := os.WriteFile(target, old, 0o600); err != nil {
			t.Fatal(err)
		}
		command := program(t, export...)
		if err := command.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Duration(r.Float64() * 1.2 * float64(whole)))
		_ = command.Process.Kill()
		_ = command.Wait()
		switch now, err := os.ReadFile(target); {
		case err != nil:
			t.Error(err)
		// The machine may be busier now than when the time was taken.
		case bytes.Equal(now, old):
			olds++
			whole = whole * 21 / 20
		case bytes.Equal(now, fresh):
			news++
			whole = whole * 9 / 10
		default:
			t.Errorf("neither the old export nor the new one: %d bytes", len(now))
		}
	}
	t.Logf("%d kills: %d old, %d new, none in between", kills, olds, news)
	if kills >= 15 && (olds == 0 || news == 0) {
		t.Errorf("the kills do not fall while it writes")
	}
}

// TestManyWritersAtOnce: twenty imports whose sheets share bulbs, ten bench add
// and ten car add at the same moment: all of it is there, once.
func TestManyWritersAtOnce(t *testing.T) {
	folder, sheets := importCatalog(t), t.TempDir()
	imports, others := 20, 10
	if testing.Short() {
		imports, others = 6, 3
	}
	if out, err := program(t, "catalog", "import", importSheet(t, sheets, 0), "--catalog", folder).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	var jobs [][]string
	for i := range imports {
		jobs = append(jobs, []string{"catalog", "import", importSheet(t, sheets, i+1), "--catalog", folder})
	}
	for i := range others {
		jobs = append(jobs,
			[]string{"bench", "add", "tested-a-h11", "--catalog", folder, "--rig", "h11-projector", "--lot", "imported", "--date", fmt.Sprintf("2026-05-%02d", i+1), "--reading", "0=1500", "--reading", "30=1300"},
			[]string{"car", "add", fmt.Sprintf("car-%02d", i), "--catalog", folder, "--lamp", "size=H7,beam=low"})
	}
	var wait sync.WaitGroup
	for _, args := range jobs {
		command := program(t, args...)
		wait.Add(1)
		go func() {
			defer wait.Done()
			if out, err := command.CombinedOutput(); err != nil {
				t.Errorf("%v: %v: %s", args, err, out)
			}
		}()
	}
	wait.Wait()
	days := testsOnDisk(t, folder)
	for i := range imports + 1 {
		if n := len(days[importDay(i)]); n != 4 {
			t.Errorf("sheet %d: %d of 4 tests are there", i, n)
		}
	}
	for i := range others {
		if n := len(days[fmt.Sprintf("2026-05-%02d", i+1)]); n != 1 {
			t.Errorf("bench add %d: %d tests", i, n)
		}
	}
	if cars, err := filepath.Glob(filepath.Join(folder, "cars", "car-*.yaml")); err != nil || len(cars) != others {
		t.Errorf("%d cars, %v; want %d", len(cars), err, others)
	}
	if left, _ := filepath.Glob(filepath.Join(folder, "*", ".*.tmp")); len(left) > 0 {
		t.Errorf("left over: %v", left)
	}
	// The same sheets at once again: nothing is added.
	for i := range imports {
		command := program(t, "catalog", "import", filepath.Join(sheets, fmt.Sprintf("sheet-%03d.csv", i+1)), "--catalog", folder)
		wait.Add(1)
		go func() {
			defer wait.Done()
			if out, err := command.CombinedOutput(); err != nil || !strings.Contains(strings.Join(strings.Fields(string(out)), " "), "0 rows added, 4 already there") {
				t.Errorf("again: %v: %s", err, out)
			}
		}()
	}
	wait.Wait()
	testsOnDisk(t, folder)
}

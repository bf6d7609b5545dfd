package store

import (
	"bufio"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"stillbright/data"
)

// workEnv makes the test binary a worker that writes to a catalog instead.
const workEnv = "STILLBRIGHT_STORE_WORKER"

func TestMain(m *testing.M) {
	if job := os.Getenv(workEnv); job != "" {
		if err := worker(job); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	code := m.Run()
	if layoutOnce != "" {
		_ = os.RemoveAll(layoutOnce)
	}
	os.Exit(code)
}

// worker does as many steps as it is told, FOLDER|FIRST|COUNT, and names each
// on standard output once it is acknowledged. Steps are tests added to a bulb,
// new cars, changed cars and entries of a draft, in turn.
func worker(job string) error {
	parts := strings.Split(job, "|")
	folder := parts[0]
	first, _ := strconv.Atoi(parts[1])
	count, _ := strconv.Atoi(parts[2])
	w, err := Open(folder, Options{Known: smallKnowledge(), Now: time.Now, Wait: time.Minute})
	if err != nil {
		return err
	}
	draft, err := OpenDraft(folder, "run-"+parts[1], time.Now)
	if err != nil {
		return err
	}
	defer draft.Close()
	fmt.Println("ready")
	for n := first; n < first+count; n++ {
		var err error
		switch n % 4 {
		case 0, 1:
			_, err = w.AddTest("b", "a", "", testOn("2026-01-01", float64(n+1)))
		case 2:
			_, err = w.SaveCar(carOf(fmt.Sprintf("car-%d", n)))
		case 3:
			err = errors.Join(draft.Append("reading", strconv.Itoa(n)), changeCar(w, n))
		}
		if err != nil {
			return fmt.Errorf("step %d: %w", n, err)
		}
		fmt.Println(n)
	}
	return nil
}

func changeCar(w *Writer, n int) error {
	car := carOf("shared")
	car.Notes = []string{fmt.Sprint("changed in step ", n)}
	_, err := w.SaveCar(car)
	return err
}

// smallKnowledge is enough for the records of the workers.
func smallKnowledge() Knowledge {
	return Knowledge{Sizes: []data.Size{{Category: "H11", Beams: []string{"low"}}, {Category: "HB3", Aliases: []string{"9005"}, Beams: []string{"high"}}}}
}

func workers(t *testing.T) string {
	t.Helper()
	_, folder := bench(t)
	w, err := Open(folder, Options{Known: smallKnowledge(), Now: time.Now})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := w.SaveBulb(bulbOf("b")); err != nil {
		t.Fatal(err)
	}
	return folder
}

func start(t *testing.T, folder string, first, count int) (*exec.Cmd, *bufio.Scanner, *strings.Builder) {
	t.Helper()
	binary, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	command := exec.Command(binary)
	command.Env = append(os.Environ(), fmt.Sprintf("%s=%s|%d|%d", workEnv, folder, first, count))
	stdout, err := command.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	stderr := &strings.Builder{}
	command.Stderr = stderr
	if err := command.Start(); err != nil {
		t.Fatal(err)
	}
	return command, bufio.NewScanner(stdout), stderr
}

// checkSteps looks for every acknowledged step in what is on the disk.
func checkSteps(t *testing.T, folder string, acknowledged []int) (found Folder) {
	t.Helper()
	found, faults := Load(os.DirFS(folder), folder, smallKnowledge())
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	b, _ := found.Catalog.Bulb("b")
	tests := map[float64]int{}
	for _, lot := range b.Lots {
		for _, test := range lot.Tests {
			tests[test.Readings[0].Lux]++
		}
	}
	for lux, times := range tests {
		if times > 1 {
			t.Errorf("step %v is there %d times", lux-1, times)
		}
	}
	typed := map[string]bool{}
	drafts, err := filepath.Glob(filepath.Join(folder, DraftsDir, "*.jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range drafts {
		entries, _ := readEntries([]byte(read(t, file)))
		for _, entry := range entries {
			typed[entry.Value] = true
		}
	}
	for _, n := range acknowledged {
		ok := false
		switch n % 4 {
		case 0, 1:
			ok = tests[float64(n+1)] == 1
		case 2:
			_, ok = found.Catalog.Car(fmt.Sprintf("car-%d", n))
		case 3:
			_, ok = found.Catalog.Car("shared")
			ok = ok && typed[strconv.Itoa(n)]
		}
		if !ok {
			t.Errorf("step %d was acknowledged and is lost", n)
		}
	}
	return found
}

// Whenever a writer is killed, what it has acknowledged is there, every file
// reads, and nothing half-written passes for a record. 500 kills with
// STILLBRIGHT_KILLS=500.
func TestKilledWriters(t *testing.T) {
	kills := 30
	if os.Getenv("STILLBRIGHT_LONG") != "" {
		kills = 60
	}
	if text := os.Getenv("STILLBRIGHT_KILLS"); text != "" {
		kills, _ = strconv.Atoi(text)
	} else if testing.Short() {
		kills = 20
	}
	rng := rand.New(rand.NewPCG(uint64(kills), 1))
	var (
		folder       string
		acknowledged []int
		total, temps int
		deadliest    time.Duration
		span         = 60 * time.Millisecond
	)
	begin := time.Now()
	for kill := range kills {
		if kill%20 == 0 { // a fresh catalog now and then, or files grow and the loop slows down
			folder, acknowledged = workers(t), nil
		}
		command, lines, _ := start(t, folder, kill*1000, 1000)
		if !lines.Scan() || lines.Text() != "ready" {
			t.Fatalf("worker says %q", lines.Text())
		}
		after, before := time.Duration(rng.Int64N(int64(span))), total
		timer := time.AfterFunc(after, func() { _ = command.Process.Signal(syscall.SIGKILL) })
		for lines.Scan() {
			if n, err := strconv.Atoi(lines.Text()); err == nil {
				acknowledged = append(acknowledged, n)
				total++
			}
		}
		_ = command.Wait()
		timer.Stop()
		deadliest = max(deadliest, after)
		if total == before { // a slow machine: the kills wait longer
			span = span * 5 / 4
		} else if total > before+8 {
			span = span * 9 / 10
		}
		left, _ := filepath.Glob(filepath.Join(folder, "*", ".*.tmp"))
		temps = max(temps, len(left))
		if kill%20 == 19 || kill == kills-1 {
			checkSteps(t, folder, acknowledged)
		} else if _, faults := Load(os.DirFS(folder), folder, smallKnowledge()); len(faults) > 0 {
			t.Fatalf("kill %d: %v", kill, faults)
		}
	}
	if total < kills/2 {
		t.Errorf("only %d steps were acknowledged; the kills come too early to say anything", total)
	}
	t.Logf("%d kills up to %v after the first step, %d steps acknowledged, at most %d temporary files left behind, %v", kills, deadliest, total, temps, time.Since(begin))
}

// Forty processes at once: all there.
func TestFortyWriters(t *testing.T) {
	folder := workers(t)
	const processes, steps = 40, 4
	var (
		group        sync.WaitGroup
		mutex        sync.Mutex
		acknowledged []int
	)
	begin := time.Now()
	for p := range processes {
		command, lines, stderr := start(t, folder, p*steps, steps)
		group.Go(func() {
			for lines.Scan() {
				if n, err := strconv.Atoi(lines.Text()); err == nil {
					mutex.Lock()
					acknowledged = append(acknowledged, n)
					mutex.Unlock()
				}
			}
			if err := command.Wait(); err != nil {
				t.Errorf("writer %d: %v %s", p, err, stderr)
			}
		})
	}
	group.Wait()
	if len(acknowledged) != processes*steps {
		t.Errorf("%d steps acknowledged, want %d", len(acknowledged), processes*steps)
	}
	found := checkSteps(t, folder, acknowledged)
	b, _ := found.Catalog.Bulb("b")
	if got := len(b.Lots[0].Tests); got != processes*2 || len(found.Catalog.Cars) != processes+1 {
		t.Errorf("%d tests and %d cars", got, len(found.Catalog.Cars))
	}
	t.Logf("%d processes, %d steps, %v", processes, len(acknowledged), time.Since(begin))
}

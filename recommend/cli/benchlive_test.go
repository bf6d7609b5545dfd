//go:build linux

package cli_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/hinshun/vt10x"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/data/store"
	"stillbright/recommend/cli"
)

// handClock goes on only when it is told to.
type handClock struct {
	mutex sync.Mutex
	now   time.Time
	waits []handWait
}

type handWait struct {
	at   time.Time
	sent chan time.Time
}

func (c *handClock) Now() time.Time {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	return c.now
}

func (c *handClock) After(d time.Duration) <-chan time.Time {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	sent := make(chan time.Time, 1)
	c.waits = append(c.waits, handWait{c.now.Add(d), sent})
	c.fire()
	return sent
}

func (c *handClock) forward(d time.Duration) {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	c.now = c.now.Add(d)
	c.fire()
}

func (c *handClock) fire() {
	var left []handWait
	for _, w := range c.waits {
		if w.at.After(c.now) {
			left = append(left, w)
		} else {
			w.sent <- c.now
		}
	}
	c.waits = left
}

// kick ends every wait: the program may have begun to wait after the clock was
// moved, and would then wait for a second that never comes.
func (c *handClock) kick() {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	for _, w := range c.waits {
		w.sent <- c.now
	}
	c.waits = nil
}

// liveScreen is a terminal in this process, with the program on it.
type liveScreen struct {
	t      *testing.T
	clock  *handClock
	master *os.File
	out    bytes.Buffer // standard output
	code   chan int

	mutex  sync.Mutex
	change *sync.Cond
	vt     vt10x.Terminal
	raw    strings.Builder
}

func startLive(t *testing.T, clock *handClock, args ...string) *liveScreen {
	t.Helper()
	master, tty, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	if err := pty.Setsize(master, &pty.Winsize{Cols: 80, Rows: 24}); err != nil {
		t.Fatal(err)
	}
	s := &liveScreen{t: t, clock: clock, master: master, code: make(chan int, 1), vt: vt10x.New(vt10x.WithSize(80, 24))}
	s.change = sync.NewCond(&s.mutex)
	go func() {
		chunk := make([]byte, 4096)
		for {
			n, err := master.Read(chunk)
			s.mutex.Lock()
			_, _ = s.vt.Write(chunk[:n])
			s.raw.Write(chunk[:n])
			s.mutex.Unlock()
			s.change.Broadcast()
			if err != nil {
				return
			}
		}
	}()
	env := &cli.Env{In: tty, Out: &s.out, Err: tty, Clock: clock, Getenv: func(name string) string {
		return map[string]string{"STILLBRIGHT_TODAY": "2026-03-14", "TERM": "xterm"}[name]
	}}
	go func() {
		s.code <- env.Run(context.Background(), append([]string{"stillbright"}, args...))
		_ = tty.Close()
	}()
	return s
}

// written is everything that reached the terminal so far.
func (s *liveScreen) written() string {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	return s.raw.String()
}

func (s *liveScreen) send(text string) {
	s.t.Helper()
	if _, err := s.master.WriteString(text); err != nil {
		s.t.Fatal(err)
	}
}

// wait waits until all texts are on the screen.
func (s *liveScreen) wait(texts ...string) {
	s.t.Helper()
	late := time.AfterFunc(30*time.Second, func() {
		s.mutex.Lock()
		s.t.Errorf("waited too long for %q; the screen:\n%s", texts, s.vt.String())
		texts = nil
		s.mutex.Unlock()
		s.change.Broadcast()
	})
	defer late.Stop()
	kicks := time.NewTicker(10 * time.Millisecond)
	defer kicks.Stop()
	done := make(chan bool)
	defer close(done)
	go func() {
		for {
			select {
			case <-kicks.C:
				s.clock.kick()
			case <-done:
				return
			}
		}
	}()
	s.mutex.Lock()
	defer s.mutex.Unlock()
	for {
		there := true
		for _, text := range texts {
			there = there && strings.Contains(s.vt.String(), text)
		}
		if there {
			return
		}
		s.change.Wait()
	}
}

func (s *liveScreen) end() int {
	s.t.Helper()
	select {
	case code := <-s.code:
		return code
	case <-time.After(30 * time.Second):
		s.t.Fatal("the program does not end")
		return -1
	}
}

// readingsOf are the readings of the last test on record of bulb b.
func readingsOf(t *testing.T, folder string) []data.Reading {
	t.Helper()
	read, faults := store.Load(os.DirFS(folder), folder, store.Knowledge{Sizes: known.Sizes(), Places: known.Places(), Rules: known.Rules(), Words: known.Words()})
	if len(faults.Wrong()) > 0 {
		t.Fatal(faults)
	}
	bulb, _ := read.Catalog.Bulb("b")
	tests := bulb.Lots[0].Tests
	return tests[len(tests)-1].Readings
}

// TestLiveRun drives a whole run by a hand-moved clock: the second of the first
// reading is recorded, a reading near a planned minute counts at that minute, a
// slip is asked for again or taken back, the clock runs beside what is typed, and
// the end of the plan makes the record.
func TestLiveRun(t *testing.T) {
	folder := benchCatalog(t)
	clock := &handClock{now: time.Date(2026, 3, 14, 12, 0, 0, 0, time.UTC)}
	s := startLive(t, clock, "bench", "run", "b", "--catalog", folder, "--lot", "1", "--stock", "1000", "--stock-volts", "13.2", "--volts", "13.2", "--plan", "0,1,2,3,5,8,12", "--yes")
	s.wait("Switch the bulb on and press Enter")
	s.send("\n")
	s.wait("00:00 [", "READ THE METER NOW: 0 min")
	clock.forward(4 * time.Second)
	s.wait("00:04 [")
	s.send("1001\n")
	s.wait("kept 1: 00:04 1001 lux", "next: 1 min, in 00:56")
	s.send("96")
	s.wait("lux: 96")
	clock.forward(59 * time.Second)
	s.wait("01:03 [", "READ THE METER NOW: 1 min", "lux: 96")
	s.send("0\n")
	s.wait("kept 2: 01:00 960 lux")
	clock.forward(57 * time.Second) // 02:00
	s.wait("02:00 [")
	s.send("9300\n")
	s.wait("9300 lux after 960? Type it again if it is so")
	s.send("930\n")
	s.wait("kept 3: 02:00 930 lux")
	clock.forward(25 * time.Second)
	s.wait("02:25 [")
	s.send("940\n")
	s.wait("kept 4: 02:25 940 lux")
	s.send("undo\n")
	s.wait("the last reading is taken back")
	s.send("2:20 921\n")
	s.wait("kept 4: 02:20 921 lux")
	s.send("3 900\n")
	s.wait("3 min is later than the clock")
	s.send("-5\n")
	s.wait("negative")
	s.send("0\n")
	s.wait("0 lux: must be from 0.1")
	clock.forward(35 * time.Second)
	s.wait("03:00 [")
	s.send("909\n")
	s.wait("kept 5: 03:00 909 lux", "Retains 90.9 % at 3 min. At 30 min: ")
	for _, next := range []struct {
		minute time.Duration
		lux    int
	}{{5, 880}, {8, 860}} {
		clock.forward(next.minute*time.Minute - clock.Now().Sub(time.Date(2026, 3, 14, 12, 0, 0, 0, time.UTC)))
		s.wait(fmt.Sprintf("%02d:00 [", next.minute))
		s.send(fmt.Sprintf("%d\n", next.lux))
		s.wait(fmt.Sprintf("%02d:00 %d lux", next.minute, next.lux))
	}
	s.wait("A forecast: a later step", "= stock")
	clock.forward(4 * time.Minute)
	s.wait("12:00 [")
	s.send("848\n")
	if code := s.end(); code != 0 {
		t.Fatalf("exit code %d:\n%s", code, s.vt.String())
	}
	for _, text := range []string{"At 30 min: ", "times stock", "Written: " + folder + "/bulbs/b.yaml (lot 1)"} {
		if !strings.Contains(s.out.String(), text) {
			t.Errorf("%q is not said:\n%s", text, s.out.String())
		}
	}
	want := []data.Reading{{At: 0.067, Lux: 1001}, {At: 1, Lux: 960}, {At: 2, Lux: 930}, {At: 2.3333, Lux: 921}, {At: 3, Lux: 909}, {At: 5, Lux: 880}, {At: 8, Lux: 860}, {At: 12, Lux: 848}}
	if got := readingsOf(t, folder); fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("recorded %v, want %v", got, want)
	}
	if strings.Contains(s.written(), "\a") {
		t.Error("the bell was rung")
	}
}

// TestLiveRunStopsAndGoesOn: Ctrl-D ends without a record; the next call goes on
// with the clock that runs since, and end saves. --new starts over and keeps the
// old readings in the history.
func TestLiveRunStopsAndGoesOn(t *testing.T) {
	folder := benchCatalog(t)
	clock := &handClock{now: time.Date(2026, 3, 14, 12, 0, 0, 0, time.UTC)}
	args := []string{"bench", "run", "b", "--catalog", folder, "--lot", "1", "--stock", "1000", "--stock-volts", "13.2", "--yes"}
	s := startLive(t, clock, args...)
	s.wait("press Enter")
	s.send("\n")
	s.wait("00:00 [")
	clock.forward(3 * time.Second)
	s.wait("00:03 [")
	s.send("1001\n")
	s.wait("kept 1")
	s.send("\x04")
	if code := s.end(); code != 130 {
		t.Fatalf("exit code %d", code)
	}
	s.wait("1 reading is kept; with --finish the record is saved as it is. To go on:", "stillbright bench run b --rig r")
	clock.forward(57 * time.Second)

	s = startLive(t, clock, args[:5]...)
	s.wait("Going on with the run", "1 reading kept", "01:00 [")
	s.send("960\n")
	s.wait("kept 2: 01:00 960 lux")
	s.send("\x04")
	if code := s.end(); code != 130 {
		t.Fatalf("exit code %d", code)
	}

	s = startLive(t, clock, append(args, "--new")...)
	s.wait("is kept in the history", "press Enter")
	s.send("\n")
	s.wait("00:00 [")
	s.send("1010\n")
	s.wait("kept 1: 00:00 1010 lux")
	clock.forward(100 * time.Second)
	s.wait("01:40 [")
	s.send("970\n")
	s.wait("kept 2: 01:40 970 lux")
	s.send("end\n")
	if code := s.end(); code != 0 {
		t.Fatalf("exit code %d:\n%s", code, s.vt.String())
	}
	want := []data.Reading{{At: 0, Lux: 1010}, {At: 1.667, Lux: 970}}
	if got := readingsOf(t, folder); fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("recorded %v, want %v", got, want)
	}
	history, err := os.ReadDir(folder + "/" + store.HistoryDir)
	if err != nil {
		t.Fatal(err)
	}
	runs := 0
	for _, file := range history {
		if strings.HasPrefix(file.Name(), "run-b-r") {
			runs++
		}
	}
	if runs != 2 {
		t.Errorf("%d runs are kept in the history, want the old one and the saved one", runs)
	}
}

// TestLiveRunPlain: without a cursor that can be moved, lines follow each other,
// and a planned minute is called out.
func TestLiveRunPlain(t *testing.T) {
	folder := benchCatalog(t)
	clock := &handClock{now: time.Date(2026, 3, 14, 12, 0, 0, 0, time.UTC)}
	s := startLive(t, clock, "bench", "run", "b", "--catalog", folder, "--lot", "1", "--stock", "1000", "--stock-volts", "13.2", "--plan", "0,1", "--yes", "--plain")
	s.wait("press Enter")
	s.send("\n")
	s.wait("READ THE METER NOW: 0 min")
	s.send("1001\n")
	s.wait("kept 1: 00:00 1001 lux")
	clock.forward(time.Minute)
	s.wait("READ THE METER NOW: 1 min")
	s.send("960\n")
	if code := s.end(); code != 0 {
		t.Fatalf("exit code %d:\n%s", code, s.vt.String())
	}
	for _, escape := range []string{"\x1b[H", "\x1b[2J", "\x1b7", "\x1b8"} {
		if strings.Contains(s.written(), escape) {
			t.Errorf("the escape code %q on a plain terminal", escape)
		}
	}
}

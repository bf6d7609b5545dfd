//go:build linux

package cli_test

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"stillbright/data/known/knowntest"
	"stillbright/recommend/ask/asktest"
	"stillbright/recommend/cli"
)

// TestMain lets the test binary be the program, for tests on a terminal.
func TestMain(m *testing.M) {
	if os.Getenv("STILLBRIGHT_AS_PROGRAM") != "" {
		os.Exit(cli.Main(cli.Build{}, os.Args, os.Stdin, os.Stdout, os.Stderr))
	}
	os.Exit(knowntest.Run(m))
}

func program(t *testing.T, args ...string) *exec.Cmd {
	t.Helper()
	command := exec.Command(os.Args[0], args...)
	command.Env = []string{"STILLBRIGHT_AS_PROGRAM=1", "HOME=" + t.TempDir(), "XDG_DATA_HOME=" + t.TempDir(), "STILLBRIGHT_CATALOG="}
	return command
}

// owner is one person at the interview.
type owner struct {
	name          string
	columns, rows int
	args          []string
	answers       []step
	says          string // the answer has this
	code          int
}

// owners differ in lamp, drive, place, patience and terminal.
var owners = []owner{
	{"commuter", 80, 24, nil, []step{
		{"Bulb size", "h11\r"}, {"What this lamp does", "low\r"}, {"Kind of lamp", "projector\r"},
		{"Where you drive in the dark", "rural\r"}, {"What else", "highway\r"}, {"Length of the usual drive", "45min\r"},
		{"Room behind the bulb", "66mm\r"}, {"warn when a bulb is out", "no\r"}, {"Climate where", "mild\r"}, {"driver box", "any\r"},
		{"Most you will pay", "90USD\r"}, {"Place whose law applies", "virginia\r"},
	}, "By measurement alone: Ostermoor S22", 0},
	{"knows nothing but the size", 40, 20, nil, []step{
		{"Bulb size", "h11\r"}, {"What this lamp does", down + down + down + "\r"}, {"Kind of lamp", "\x1b[6~\r"},
		{"Where you drive in the dark", "\x1b[6~\x1b[6~\r"}, {"What else", "\r"}, {"Length of the usual drive", "-\r"},
		{"Room behind the bulb", "-\r"}, {"warn when a bulb is out", down + down + down + "\r"}, {"Climate where", "zz\x15\x1b[6~\r"}, {"driver box", "\x1b[6~\r"},
		{"Most you will pay", "-\r"}, {"Place whose law applies", "zzzz" + down + down + "\r"},
	}, "no place given, so assume an LED is not allowed", 0},
	{"reflector in rain, small budget", 200, 50, nil, []step{
		{"Bulb size", "h7\r"}, {"What this lamp does", "low\r"}, {"Kind of lamp", "reflector\r"},
		{"Where you drive in the dark", "rain\r"}, {"What else", "nothing\r"}, {"Length of the usual drive", "20\r"},
		{"Room behind the bulb", "2 1/4 in\r"}, {"warn when a bulb is out", "y"}, {"Climate where", "cold\r"}, {"driver box", "internal\r"},
		{"Most you will pay", "25EUR\r"}, {"Place whose law applies", "germany\r"},
	}, "Law (DE, low)", 3},
	{"fog lamp, mistakes and second thoughts", 80, 24, nil, []step{
		{"Bulb size", "h1x\x7f1\r"}, {"What this lamp does", "<h11\r" + "fog\r"}, {"Kind of lamp", "?reflector\r"},
		{"Where you drive in the dark", "fog\r"}, {"What else", "\r"}, {"Length of the usual drive", "soon\r\x15" + "15min\r"},
		{"Room behind the bulb", "-1mm\r\x15-\r"}, {"warn when a bulb is out", "n"}, {"Climate where", "hot\r"}, {"driver box", "any\r"},
		{"Most you will pay", "a lot\r\x15-\r"}, {"Place whose law applies", "GB\r"},
	}, "Law (GB, fog)", 3},
	{"numbered lists", 80, 24, []string{"--plain", "--trip", "30min"}, []step{
		{"Bulb size", "9005\n"}, {"What this lamp does", "high\n"}, {"Kind of lamp", "reflector\n"},
		{"Where you drive in the dark", "3\n"}, {"What else", "nothing else\n"}, {"Length of the usual drive", "30\n"},
		{"Room behind the bulb", "-\n"}, {"warn when a bulb is out", "don't know\n"}, {"Climate where", "mild\n"}, {"driver box", "any\n"},
		{"Most you will pay", "?\n100USD\n"}, {"Place whose law applies", "Japan\n"},
	}, "Law (JP, high)", 0},
}

const down = "\x1b[B"

// TestInterviewAndFlagsAgree: a need given by answers and the command line that
// the interview prints give the same answer byte for byte; the terminal is left
// as it was, without a bell, an escape code on standard output, or a row of a
// list.
func TestInterviewAndFlagsAgree(t *testing.T) {
	for _, o := range owners {
		t.Run(o.name, func(t *testing.T) { o.interview(t) })
	}
	t.Run("a car with two lamps", func(t *testing.T) {
		folder := benchCatalog(t)
		if out, err := program(t, "car", "add", "wagon", "--catalog", folder, "--name", "The wagon", "--lamp", "size=H11,beam=low,housing=projector", "--lamp", "size=H9,beam=high").CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, out)
		}
		for _, c := range []struct{ lamp, says string }{{"low\r", "Law (GB, low)"}, {"high\r", "Law (GB, high)"}} {
			owner{"", 80, 24, []string{"--catalog", folder, "--where", "GB"}, []step{
				{"Your car", "wagon\r"}, {"Which lamp", c.lamp}, {"Kind of lamp", "-\x15\x1b[6~\r"}, {"Where you drive in the dark", "rural\r"}, {"What else", "\r"},
				{"Length of the usual drive", "-\r"}, {"Room behind the bulb", "-\r"}, {"warn when a bulb is out", "n"}, {"Climate where", "hot\r"}, {"driver box", "any\r"}, {"Most you will pay", "-\r"},
			}, c.says, 3}.interview(t)
		}
	})
}

func (o owner) interview(t *testing.T) {
	file, err := os.Create(filepath.Join(t.TempDir(), "out"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	command := program(t, append([]string{"pick"}, o.args...)...)
	command.Stdout = file
	screen := asktest.Run(t, o.columns, o.rows, command)
	asked := converse(screen, o.answers)
	screen.WaitEnd()
	if code := screen.Exit(); code != 0 && code != o.code {
		t.Fatalf("exit code %d after %v:\n%s", code, asked, screen.Text())
	}
	answered, err := os.ReadFile(file.Name())
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(answered), o.says) {
		t.Errorf("the answer does not have %q:\n%s", o.says, answered)
	}
	if bytes.ContainsAny(answered, "\x1b\a") || strings.Contains(screen.Raw(), "\a") {
		t.Error("an escape code on standard output, or a bell")
	}
	if _, _, shown := screen.Cursor(); !shown || !screen.Cooked() {
		t.Error("the cursor is hidden, or the terminal in raw mode")
	}
	for _, rest := range []string{"type to search", "arrows move", "(to the question before)", "> "} {
		if slices.Contains(o.args, "--plain") {
			break
		}
		if strings.Contains(screen.Text(), rest) {
			t.Errorf("%q is left over on the screen:\n%s", rest, screen.Text())
		}
	}
	flags := sameByFlags(t, screen.Raw())
	byFlags := program(t, flags...)
	byFlags.Env = append(os.Environ(), byFlags.Env...)
	stdout, err := byFlags.Output()
	if err != nil && byFlags.ProcessState.ExitCode() != o.code {
		t.Fatalf("%v: %v", flags, err)
	}
	if !bytes.Equal(answered, stdout) {
		t.Errorf("answers gave\n%s\nflags %v gave\n%s", answered, flags, stdout)
	}
	if len(asked) < 4 {
		t.Errorf("only %v was asked", asked)
	}
}

// TestCancelTellsWhatWasAnswered: whoever stops gets the flags of the answers so
// far, code 130, and nothing on standard output.
func TestCancelTellsWhatWasAnswered(t *testing.T) {
	for _, stop := range []string{"\x03", "\x04"} {
		screen := asktest.Run(t, 80, 24, program(t, "pick", "--where", "GB"))
		screen.Wait("Bulb size: _")
		screen.Send("h11\r")
		screen.Wait("What this lamp does: _")
		screen.Send("low\r")
		screen.Wait("Kind of lamp: _")
		screen.Send(stop)
		screen.Wait("What was answered so far: stillbright pick --size H11 --beam low --where GB")
		screen.WaitEnd()
		if code := screen.Exit(); code != 130 {
			t.Errorf("exit code %d", code)
		}
	}
}

// converse answers each question as it comes. A question that cannot change
// the answer any more is not asked, so its answer is left over.
func converse(screen *asktest.Screen, answers []step) (asked []string) {
	const end = "The same by flags:"
	left := map[string]string{}
	texts := []string{end}
	for _, a := range answers {
		left[a.question] = a.keys
		texts = append(texts, a.question)
	}
	for {
		question := screen.WaitAny(texts...)
		if question == "" || question == end {
			return asked
		}
		screen.Send(left[question])
		asked = append(asked, question)
		texts = slices.DeleteFunc(texts, func(text string) bool { return text == question })
	}
}

var byFlagsLine = regexp.MustCompile(`The same by flags: stillbright ([^\r\n]*)`)

// sameByFlags takes the command line that the interview prints.
func sameByFlags(t *testing.T, raw string) []string {
	t.Helper()
	found := byFlagsLine.FindStringSubmatch(raw)
	if found == nil {
		t.Fatalf("the interview does not say how to give the same by flags: %q", raw)
	}
	return strings.Fields(found[1])
}

type step struct{ question, keys string }

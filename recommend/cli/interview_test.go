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

	"stillbright/recommend/ask/asktest"
	"stillbright/recommend/cli"
)

// TestMain lets the test binary be the program, for tests on a terminal.
func TestMain(m *testing.M) {
	if os.Getenv("STILLBRIGHT_AS_PROGRAM") != "" {
		os.Exit(cli.Main(cli.Build{}, os.Args, os.Stdin, os.Stdout, os.Stderr))
	}
	os.Exit(m.Run())
}

func program(t *testing.T, args ...string) *exec.Cmd {
	t.Helper()
	command := exec.Command(os.Args[0], args...)
	command.Env = []string{"STILLBRIGHT_AS_PROGRAM=1", "HOME=" + t.TempDir(), "XDG_DATA_HOME=" + t.TempDir(), "STILLBRIGHT_CATALOG="}
	return command
}

// TestInterviewAndFlagsAgree: a need given by answers and the command line that
// the interview prints give the same answer byte for byte.
func TestInterviewAndFlagsAgree(t *testing.T) {
	for _, c := range []struct {
		name    string
		args    []string
		answers []step
	}{
		{"lists", []string{"pick"}, []step{
			{"Your car", "not listed\r"}, {"Bulb size", "h11\r"}, {"What this lamp does", "low\r"}, {"Kind of lamp", "projector\r"},
			{"Where you drive in the dark", "rural\r"}, {"And also", "highway\r"}, {"Length of the usual drive", "45min\r"},
			{"Room behind the bulb", "66mm\r"}, {"warn when a bulb is out", "no\r"}, {"Climate where", "mild\r"}, {"driver box", "any\r"},
			{"Most you will pay", "90USD\r"}, {"Place whose law applies", "virginia\r"},
		}},
		{"plain", []string{"pick", "--plain"}, []step{
			{"Your car", "tarn-pickup\n"}, {"Where you drive in the dark", "rural\n"}, {"And also", "nothing else\n"},
			{"Length of the usual drive", "27\n"}, {"driver box", "any\n"}, {"Most you will pay", "100USD\n"},
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			file, err := os.Create(filepath.Join(t.TempDir(), "out"))
			if err != nil {
				t.Fatal(err)
			}
			defer file.Close()
			command := program(t, c.args...)
			command.Stdout = file
			screen := asktest.Run(t, 80, 24, command)
			asked := converse(screen, c.answers)
			screen.WaitEnd()
			if code := screen.Exit(); code != 0 {
				t.Fatalf("exit code %d after %v:\n%s", code, asked, screen.Text())
			}
			answered, err := os.ReadFile(file.Name())
			if err != nil {
				t.Fatal(err)
			}
			flags := sameByFlags(t, screen.Raw())
			byFlags := program(t, flags...)
			byFlags.Env = append(os.Environ(), byFlags.Env...)
			stdout, err := byFlags.Output()
			if err != nil {
				t.Fatalf("%v: %v", flags, err)
			}
			if !bytes.Equal(answered, stdout) {
				t.Errorf("answers gave\n%s\nflags %v gave\n%s", answered, flags, stdout)
			}
			if !strings.HasPrefix(string(stdout), "Fit ") {
				t.Errorf("no bulb: %s", stdout)
			}
			if len(asked) < 4 {
				t.Errorf("only %v was asked", asked)
			}
		})
	}
}

// converse answers each question as it comes. A question that cannot change
// the answer any more is not asked, so its answer is left over.
func converse(screen *asktest.Screen, answers []step) (asked []string) {
	const end = "The same by flags"
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

package cli

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/urfave/cli/v2"

	"stillbright/data/quantity"
	"stillbright/recommend/cli/wrong"
)

func manual(t *testing.T) (file, text string) {
	t.Helper()
	env, out := completer(t)
	if code := env.Run(t.Context(), []string{"stillbright", "help", "man"}); code != wrong.ExitDone {
		t.Fatalf("exit code %d", code)
	}
	file = filepath.Join(t.TempDir(), "stillbright.1")
	write(t, file, out.String())
	return file, out.String()
}

// TestManualPassesLint: mandoc finds nothing, not even a matter of style, and
// groff warns of nothing.
func TestManualPassesLint(t *testing.T) {
	file, _ := manual(t)
	looked := false
	if mandoc, err := exec.LookPath("mandoc"); err == nil {
		looked = true
		if out, err := exec.Command(mandoc, "-Tlint", "-Wstyle", file).CombinedOutput(); err != nil || len(out) > 0 {
			t.Errorf("mandoc: %v\n%s", err, out)
		}
	}
	if man, err := exec.LookPath("man"); err == nil {
		looked = true
		command := exec.Command(man, "--warnings", "-l", file)
		var warnings strings.Builder
		command.Stderr = &warnings
		command.Env = append(os.Environ(), "LC_ALL=C.UTF-8", "MANWIDTH=80", "MANPAGER=cat")
		out, err := command.Output()
		if err != nil || warnings.Len() > 0 {
			t.Errorf("man: %v\n%s", err, warnings.String())
		}
		for _, line := range strings.Split(string(out), "\n") {
			if len([]rune(line)) > 80 {
				t.Errorf("wider than 80 columns: %s", line)
			}
		}
	}
	if !looked {
		t.Skip("neither mandoc nor man is installed")
	}
}

// TestManualIsWhole: every section, every verb and every flag stands in it.
func TestManualIsWhole(t *testing.T) {
	_, text := manual(t)
	for _, section := range []string{"NAME", "SYNOPSIS", "DESCRIPTION", "VERBS", "UNITS", "ENVIRONMENT", "FILES", "EXIT STATUS", "EXAMPLES", "CAUTIONS", "STANDARDS", "THE NEED", "WORDS", "SEE ALSO"} {
		if !strings.Contains(text, "\n.SH "+section+"\n") {
			t.Errorf("there is no section %s", section)
		}
	}
	_, verbs, _ := strings.Cut(text, ".SH VERBS")
	verbs, rest, _ := strings.Cut(verbs, ".SH THE NEED")
	env, _ := completer(t)
	shared := map[string]bool{}
	for _, f := range needFlags() {
		shared[f.Names()[0]] = true
	}
	eachVerb(env, func(path string, command *cli.Command) {
		_, own, found := strings.Cut(verbs, ".SS stillbright "+path)
		if !found {
			t.Errorf("%s is missing", path)
		}
		own, _, _ = strings.Cut(own, ".SS ")
		for _, f := range command.Flags {
			flag := roff("--" + f.Names()[0])
			if !strings.Contains(own, flag+"\n") && !strings.Contains(own, flag+`\fR`) && !(shared[f.Names()[0]] && strings.Contains(own, "THE NEED")) {
				t.Errorf("%s %s is missing", path, flag)
			}
		}
	})
	for _, f := range needFlags() {
		if flag := roff("--" + f.Names()[0]); !strings.Contains(rest, flag) {
			t.Errorf("%s is missing", flag)
		}
	}
}

// TestUnitsOfTheTopicAreRead: every quantity that the topic shows is one that
// the program takes.
func TestUnitsOfTheTopicAreRead(t *testing.T) {
	seen := 0
	for _, line := range strings.Split(topicText("units"), "\n") {
		parts := term().FindStringSubmatch(line)
		if parts == nil {
			continue
		}
		list, _, _ := strings.Cut(parts[2], ";")
		for _, text := range strings.Split(list, ", ") {
			seen++
			read := false
			for _, unit := range []string{"mm", "min", "km/h", "C", "V", "W", "A", "lx", "cd", "lm", "K", "deg", "%", "g"} {
				if _, err := quantity.Parse(strings.Trim(text, `"`), unit); err == nil {
					read = true
				}
			}
			if _, err := quantity.ParseMoney(text); err != nil && !read {
				t.Errorf("%s: %q is not read", parts[1], text)
			}
		}
	}
	if seen < 25 {
		t.Errorf("only %d quantities were tried", seen)
	}
}

// TestEveryVariableIsNamed: each variable of the environment that the source
// reads stands in the topic, and the topic names no other.
func TestEveryVariableIsNamed(t *testing.T) {
	read := regexp.MustCompile(`[gG]etenv\("([A-Z_]+)"\)`)
	topic := topicText("environment")
	seen := map[string]bool{"HOME": true}
	for _, folder := range []string{".", "../ask", "../answer", "../../data/store", "../../data/sheet", "../.."} {
		files, err := filepath.Glob(filepath.Join(folder, "*.go"))
		if err != nil {
			t.Fatal(err)
		}
		for _, file := range files {
			content, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if strings.HasSuffix(file, "_test.go") {
				continue
			}
			for _, found := range read.FindAllSubmatch(content, -1) {
				name := string(found[1])
				if !seen[name] && !strings.Contains(topic, name) {
					t.Errorf("%s reads %s, which help environment does not name", file, name)
				}
				seen[name] = true
			}
		}
	}
	for _, name := range regexp.MustCompile(`(?m)^[A-Z_]+`).FindAllString(topic, -1) {
		if len(name) > 1 && !seen[name] {
			t.Errorf("help environment names %s, which nothing reads", name)
		}
	}
}

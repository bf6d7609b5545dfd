package cli

import (
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/urfave/cli/v2"

	"stillbright/data/quantity"
	"stillbright/recommend/cli/wrong"
	"stillbright/recommend/plaintext"
)

// exampleFolder holds what the examples name, beside the program.
func exampleFolder(t *testing.T) string {
	t.Helper()
	folder, data := t.TempDir(), filepath.Join("..", "..", "testdata")
	if err := os.CopyFS(filepath.Join(folder, "bench"), os.DirFS(filepath.Join("..", "..", "data", "known", "yaml", "demo"))); err != nil {
		t.Fatal(err)
	}
	for name, from := range map[string]string{
		"led.csv": "beams/low-clean.csv", "halogen.csv": "beams/low-stock.csv", "led.png": "beams/low-clean.png", "halogen.png": "beams/low-stock.png",
	} {
		content, err := os.ReadFile(filepath.Join(data, filepath.FromSlash(from)))
		if err != nil {
			t.Fatal(err)
		}
		write(t, filepath.Join(folder, name), string(content))
	}
	write(t, filepath.Join(folder, "tests.csv"), "Bulb,Size,Housing,Date,Stock lux,Lux 0 min,Lux 30 min\nTallow 300,HB3,projector,2026-02-04,700,1001,880\n")
	write(t, filepath.Join(folder, "questions.csv"), "question\nwhats a good h11 for my projector lows\nis led legal in my headlights in the uk\n")
	write(t, filepath.Join(folder, "readings.csv"), "0,1001\n1,960\n2,940\n5,900\n10,860\n20,835\n27,832\n")
	write(t, filepath.Join(folder, "logger.csv"), "minutes,lux\n0,1001\n1,960\n2,940\n5,900\n10,860\n20,835\n27,832\n30,831\n")
	for _, place := range []string{".local/share/bash-completion/completions", ".zfunc", ".config/fish/completions", "bin"} {
		if err := os.MkdirAll(filepath.Join(folder, place), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Symlink(os.Args[0], filepath.Join(folder, "bin", "stillbright")); err != nil {
		t.Skip("no links here: ", err)
	}
	return folder
}

func write(t *testing.T, name, content string) {
	t.Helper()
	if err := os.WriteFile(name, []byte(content), 0o644); err != nil {
		t.Fatal(err)
	}
}

// TestExamplesRun runs every example of the help and of the manual page in a
// shell, broken over lines as it is printed. Those that ask end with the words
// that name the missing flag, since nobody is there to be asked.
func TestExamplesRun(t *testing.T) {
	shell, err := exec.LookPath("sh")
	if err != nil {
		t.Skip("no sh")
	}
	asks := []string{
		"stillbright pick", "stillbright bench add", "stillbright car add my-hatch", "stillbright bench run caldry-basic-h11 --rig h11-projector",
	}
	all := maps.Clone(examples)
	env, _ := completer(t)
	all["the first screen and the help"] = shown(firstScreen + appHelp(env.app(env.commands())))
	if n := len(all["the first screen and the help"]); n < 8 {
		t.Errorf("only %d commands stand on the first screen and in the help", n)
	}
	for path, list := range all {
		t.Run(path, func(t *testing.T) {
			t.Parallel()
			for _, e := range list {
				folder, catalog := exampleFolder(t), ""
				if slices.Contains(asks, e.line) && e.line != "stillbright pick" {
					catalog = filepath.Join(folder, "bench")
				}
				command := exec.Command(shell, "-c", strings.Join(breakCommand(e.line, 76), "\n"))
				command.Dir = folder
				command.Env = append(os.Environ(), "PATH="+filepath.Join(folder, "bin")+":"+os.Getenv("PATH"), "HOME="+folder, "XDG_DATA_HOME=", "XDG_CACHE_HOME=",
					"STILLBRIGHT_AS_PROGRAM=1", "STILLBRIGHT_CATALOG="+catalog, "STILLBRIGHT_TODAY=2026-11-25")
				out, err := command.CombinedOutput()
				code := command.ProcessState.ExitCode()
				switch {
				case slices.Contains(asks, e.line):
					// Nobody answers: the flag that is missing is named, or what a pipe should bring.
					named := code == wrong.ExitUsage && strings.Contains(string(out), "cannot ask") || code == wrong.ExitBadData && strings.Contains(string(out), "minute,lux is wanted")
					if !named {
						t.Errorf("%s: exit code %d, %v\n%s", e.line, code, err, out)
					}
				case code != wrong.ExitDone && code != wrong.ExitNothing:
					t.Errorf("%s: exit code %d, %v\n%s", e.line, code, err, out)
				}
			}
		})
	}
}

// shown are the commands of a screen: lines of the program's name, up to what is
// said of them. Those with a word in capitals are a pattern.
func shown(screen string) (list []example) {
	for _, line := range strings.Split(screen, "\n") {
		command, _, _ := strings.Cut(strings.TrimPrefix(line, "  "), "  ")
		pattern := slices.ContainsFunc(strings.Fields(command), func(word string) bool { return len(word) > 2 && strings.Trim(word, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") == "" })
		if strings.HasPrefix(line, "  stillbright ") && !pattern {
			list = append(list, example{line: command})
		}
	}
	return list
}

// TestEveryVerbHasAnExample: and no example is left of a verb that is gone.
func TestEveryVerbHasAnExample(t *testing.T) {
	env, _ := completer(t)
	verbs := map[string]bool{}
	eachVerb(env, func(path string, command *cli.Command) {
		verbs[path] = true
		if !command.Hidden && len(examples[path]) == 0 {
			t.Errorf("%s has no example", path)
		}
	})
	for path := range examples {
		if !verbs[path] {
			t.Errorf("an example is left of %s", path)
		}
	}
}

func values(items []item) (list []string) {
	for _, i := range items {
		list = append(list, i.value)
	}
	return list
}

// TestHelpNamesWhatIsLegal: the help of a flag names each word it takes, and
// the unit of a bare number.
func TestHelpNamesWhatIsLegal(t *testing.T) {
	env, _ := completer(t)
	lists, amounts := 0, 0
	eachVerb(env, func(path string, command *cli.Command) {
		for _, f := range command.Flags {
			name := f.Names()[0]
			wanted, _ := valueOf(path, name)
			if isSwitch(command, name) || wanted == nil {
				continue
			}
			usage := flagUsage(f)
			words := strings.FieldsFunc(usage, func(r rune) bool { return strings.ContainsRune(" ,;:()=", r) })
			number := wanted(&slot{env: env, current: "5"}).items
			_, isUnit := quantity.Kind(strings.TrimPrefix(strings.Join(values(number[:min(1, len(number))]), ""), "5"))
			if isUnit {
				amounts++
				if !strings.Contains(usage, "(bare: ") {
					t.Errorf("%s --%s does not name the unit of a bare number: %s", path, name, usage)
				}
				continue
			}
			dynamic := []string{"size", "rig-size", "where", "car", "bulb", "rig", "save", "limits", "rig-projector", "rig-reflector", "lamp", "date", "bought", "currency"}
			if slices.Contains(dynamic, name) {
				continue
			}
			for _, i := range wanted(&slot{env: env}).items {
				lists++
				if !slices.Contains(words, strings.TrimSuffix(i.value, "=")) {
					t.Errorf("%s --%s does not name %q: %s", path, name, i.value, usage)
				}
			}
		}
	})
	if lists < 100 || amounts < 50 {
		t.Errorf("only %d words and %d units were looked for", lists, amounts)
	}
}

// TestHelpFitsTheWidth: no line of any help or topic is wider than 80 columns,
// and each flag says what it takes.
func TestHelpFitsTheWidth(t *testing.T) {
	for _, columns := range []int{80, 40} {
		helpFits(t, columns)
	}
}

func helpFits(t *testing.T, columns int) {
	t.Helper()
	env, out := completer(t, fmt.Sprint("COLUMNS=", columns))
	paths := [][]string{{}}
	var collect func(commands []*cli.Command, path []string)
	collect = func(commands []*cli.Command, path []string) {
		for _, command := range commands {
			here := append(slices.Clone(path), command.Name)
			paths = append(paths, here)
			collect(command.Subcommands, here)
		}
	}
	collect(env.commands(), nil)
	var lines [][]string
	for _, path := range paths {
		lines = append(lines, append(slices.Clone(path), "--help"))
	}
	for _, topic := range helpTopics() {
		lines = append(lines, []string{"help", topic})
	}
	for _, words := range lines {
		out.Reset()
		if code := env.Run(t.Context(), append([]string{"stillbright"}, words...)); code != wrong.ExitDone || out.Len() < 100 {
			t.Errorf("%v: exit code %d, %d bytes", words, code, out.Len())
		}
		for _, line := range strings.Split(out.String(), "\n") {
			if plaintext.Width(line) > columns && words[len(words)-1] != "man" && len(strings.Fields(line)) > 1 {
				t.Errorf("%v: %d columns: %s", words, plaintext.Width(line), line)
			}
			if strings.HasSuffix(line, " ") {
				t.Errorf("%v: blanks at the end: %q", words, line)
			}
		}
	}
}

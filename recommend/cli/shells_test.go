//go:build linux

package cli

import (
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/urfave/cli/v2"

	"stillbright/data/known"
	"stillbright/recommend/ask/asktest"
)

// bashPackage is where Debian puts the package bash-completion.
const bashPackage = "/usr/share/bash-completion/bash_completion"

// atShell is a folder to type commands in: the program, the completion scripts
// as a user would install them, and some files to be completed.
func atShell(t *testing.T, shell string) (path, folder string, environment []string) {
	t.Helper()
	path, err := exec.LookPath(shell)
	if err != nil {
		t.Skipf("%s is not installed", shell)
	}
	folder = t.TempDir()
	link := filepath.Join(folder, "bin", "stillbright")
	for file, content := range map[string]string{
		"logged.csv": "", "logged.png": "", "a file.csv": "", "bench-folder/catalog.yaml": "", "bench-file": "",
		"bin/.keep": "", "complete.bash": script(t, "bash"), "zfunc/_stillbright": script(t, "zsh"),
		"config/fish/completions/stillbright.fish": script(t, "fish"),
	} {
		file = filepath.Join(folder, filepath.FromSlash(file))
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Symlink(os.Args[0], link); err != nil {
		t.Fatal(err)
	}
	return path, folder, []string{
		"PATH=" + filepath.Dir(link) + ":" + os.Getenv("PATH"), "STILLBRIGHT_AS_PROGRAM=1", "HOME=" + folder, "XDG_DATA_HOME=" + folder + "/data",
		"XDG_CONFIG_HOME=" + folder + "/config", "STILLBRIGHT_CATALOG=", "LC_ALL=C.UTF-8", "ZDOTDIR=" + folder, "INPUTRC=/dev/null", "HISTFILE=",
	}
}

func script(t *testing.T, shell string) string {
	t.Helper()
	text, ok := known.CompletionScript(shell)
	if !ok {
		t.Fatalf("no script for %s", shell)
	}
	return text
}

// typed is what a person types before TAB and what then stands on the line.
type typed struct{ line, want string }

var typedEverywhere = []typed{
	{"stillbright pi", "stillbright pick "},
	{"stillbright bench red", "stillbright bench reduce "},
	{"stillbright pick --hous", "stillbright pick --housing "},
	{"stillbright pick --housing pr", "stillbright pick --housing projector "},
	{"stillbright pick --housing=pr", "stillbright pick --housing=projector "},
	{"stillbright pick --housing PRO", "stillbright pick --housing projector "},
	{"stillbright pick --driving rural,hi", "stillbright pick --driving rural,highway"},
	{"stillbright pick --driving=rural,hi", "stillbright pick --driving=rural,highway"},
	{"stillbright pick --weights output=0.5,p", "stillbright pick --weights output=0.5,pattern="},
	{"stillbright pick --size 9005", "stillbright pick --size 9005 "},
	{"stillbright pick --where germ", "stillbright pick --where Germany "},
	{"stillbright pick --where united\\ ki", "stillbright pick --where United\\ Kingdom "},
	{"stillbright fit ostermoor-f", "stillbright fit ostermoor-flex-h11 "},
	{"stillbright fit ostermoor-flex-h11 --car os", "stillbright fit ostermoor-flex-h11 --car oskel-hatch "},
	{"stillbright fit --car oskel-hatch -- ostermoor-f", "stillbright fit --car oskel-hatch -- ostermoor-flex-h11 "},
	{"stillbright law US-VA --be", "stillbright law US-VA --beam "},
	{"stillbright bench reduce log", "stillbright bench reduce logged.csv "},
	{"stillbright bench reduce a", "stillbright bench reduce a\\ file.csv "},
	{"stillbright pick --plot log", "stillbright pick --plot logged.png "},
	{"stillbright pick --plot=log", "stillbright pick --plot=logged.png "},
	{"stillbright pick --catalog be", "stillbright pick --catalog bench-folder/"},
	{"stillbright pick --catalog=be", "stillbright pick --catalog=bench-folder/"},
	{"stillbright help schemas reply", "stillbright help schemas reply-1 "},
	{"stillbright pick --size H11 > bench-fi", "stillbright pick --size H11 > bench-file "},
}

// typeAll types every line and its TAB at a prompt and looks at the line.
func typeAll(t *testing.T, screen *asktest.Screen, lines []typed) {
	t.Helper()
	for _, c := range lines {
		screen.Wait("ready>")
		screen.Send(c.line + "\t!")
		screen.Wait("ready> " + c.want + "!")
		// Ctrl-C leaves the line as it is; the screen is cleared for the next.
		screen.Send("\x15")
		screen.WaitGone("!")
	}
}

// everyVerbTyped is two lines for each verb: the verb itself, then its help flag.
func everyVerbTyped() []typed {
	var lines []typed
	eachVerb(&Env{}, func(path string, _ *cli.Command) {
		if short := path[:len(path)-1]; len(short) > 2 && !strings.HasSuffix(short, " ad") {
			lines = append(lines, typed{"stillbright " + short, "stillbright " + path + " "})
		}
		if path != "help" {
			lines = append(lines, typed{"stillbright " + path + " --hel", "stillbright " + path + " --help "})
		}
	})
	return lines
}

func TestBashCompletes(t *testing.T) {
	path, folder, environment := atShell(t, "bash")
	for name, start := range map[string]string{
		"alone":        "source ./complete.bash",
		"with package": "source " + bashPackage + "; source ./complete.bash",
	} {
		t.Run(name, func(t *testing.T) {
			if _, err := os.Stat(bashPackage); name == "with package" && err != nil {
				t.Skip("bash-completion is not installed")
			}
			command := exec.Command(path, "--norc", "--noprofile", "-i")
			command.Dir, command.Env = folder, append(environment, "PS1=start> ")
			screen := asktest.Run(t, 150, 50, command)
			screen.Wait("start>")
			screen.Send("bind 'set enable-bracketed-paste off'; " + start + "; clear; PS1='rea''dy> '\r")
			typeAll(t, screen, slices.Concat(typedEverywhere, []typed{
				{"./bin/stillbright pick --hous", "./bin/stillbright pick --housing "},
				{"stillbright pick --where \"united ki", "stillbright pick --where \"United Kingdom\" "},
				{"stillbright pick --size=h1", "stillbright pick --size=H1"},
			}, everyVerbTyped()))
			screen.Send("stillbright fit ostermoor-s22-h\t\t")
			screen.Wait("ostermoor-s22-hir2")
			screen.Wait("ostermoor-s22-hb3")
		})
	}
}

func TestZshCompletes(t *testing.T) {
	path, folder, environment := atShell(t, "zsh")
	for name, start := range map[string]string{
		"from fpath": "fpath=(~/zfunc $fpath); autoload -U compinit; compinit -u -D",
		"sourced":    "autoload -U compinit; compinit -u -D; source ~/zfunc/_stillbright",
	} {
		t.Run(name, func(t *testing.T) {
			command := exec.Command(path, "-f", "-i")
			command.Dir, command.Env = folder, append(environment, "PS1=start> ")
			screen := asktest.Run(t, 150, 50, command)
			screen.Wait("start>")
			screen.Send("unsetopt prompt_cr prompt_sp beep; " + start + "; clear; PS1='rea''dy> '\r")
			lines := slices.Concat(typedEverywhere, everyVerbTyped())
			for i := range lines {
				if strings.Contains(lines[i].line, "--driving") {
					lines[i].want += "," // a blank or return takes it away again
				}
			}
			typeAll(t, screen, lines)
			screen.Send("stillbright pick --driving rural,hi\t --json")
			screen.Wait("--driving rural,highway --json")
			screen.Send("\x15stillbright pick --bu\t60\t")
			screen.Wait("60USD")
			screen.Send("\x15stillbright pick --cl\t\t")
			screen.Wait("mild")
			screen.Send("\x15stillbright pick --\t")
			screen.Wait("nothing cut, nothing added") // what a flag does
		})
	}
}

func TestFishCompletes(t *testing.T) {
	path, folder, environment := atShell(t, "fish")
	complete := func(line string) string {
		t.Helper()
		command := exec.Command(path, "--private", "-c", `complete -C "$argv[1]"`, line)
		command.Dir, command.Env = folder, append(os.Environ(), environment...)
		out, err := command.CombinedOutput()
		if err != nil {
			t.Fatalf("%s: %v: %s", line, err, out)
		}
		return string(out)
	}
	for _, c := range slices.Concat(typedEverywhere, everyVerbTyped(), []typed{{"./bin/stillbright pick --hous", "./bin/stillbright pick --housing "}}) {
		before, word := c.line[:strings.LastIndexByte(strings.ReplaceAll(c.line, `\ `, "__"), ' ')+1], ""
		word = strings.TrimSuffix(strings.ReplaceAll(strings.TrimPrefix(c.want, before), `\ `, " "), " ")
		out := complete(c.line)
		first, _, _ := strings.Cut(out, "\n")
		value, _, _ := strings.Cut(first, "\t")
		if value != word && strings.ReplaceAll(value, `\ `, " ") != word {
			t.Errorf("%q offers %q, want %q first", c.line, out, word)
		}
	}
	if out := complete("stillbright pick --si"); out != "--size\tbulb SIZE printed on the old bulb: H11, H7, 9005\n" {
		t.Errorf("%q", out)
	}
}

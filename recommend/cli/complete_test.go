package cli

import (
	"bytes"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/urfave/cli/v2"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/recommend/cli/entry"
	"stillbright/recommend/cli/wrong"
	"stillbright/recommend/plaintext"
)

// completer is an environment with a home of its own and no catalog.
func completer(t testing.TB, environment ...string) (*Env, *bytes.Buffer) {
	t.Helper()
	values := map[string]string{"HOME": t.TempDir(), "STILLBRIGHT_TODAY": "2026-11-25"}
	for _, pair := range environment {
		name, value, _ := strings.Cut(pair, "=")
		values[name] = value
	}
	out := &bytes.Buffer{}
	return &Env{Out: out, Err: &bytes.Buffer{}, Getenv: func(name string) string { return values[name] }}, out
}

// offered are the candidates for the last of the words, as whole words.
func offered(t testing.TB, env *Env, words ...string) []string {
	t.Helper()
	c := env.complete(words)
	var list []string
	for _, i := range c.items {
		list = append(list, words[len(words)-1][:c.skip]+i.value)
	}
	return list
}

// eachVerb calls visit for every command that can be run, with its path.
func eachVerb(env *Env, visit func(path string, command *cli.Command)) {
	everyVerb(env.commands(), nil, func(path []string, command *cli.Command) {
		if len(command.Subcommands) == 0 {
			visit(strings.Join(path, " "), command)
		}
	})
}

// TestEveryFlagHasADecision: somebody has decided what completes the value of
// every flag and the arguments of every verb, and no decision is left over from
// a flag that is gone.
func TestEveryFlagHasADecision(t *testing.T) {
	env, _ := completer(t)
	byName, byVerb := map[string]bool{}, map[string]bool{}
	eachVerb(env, func(path string, command *cli.Command) {
		if _, ok := argumentsOf(path); !ok {
			t.Errorf("%s: nobody has decided what completes its arguments: argumentsOf", path)
		}
		for _, f := range command.Flags {
			name := f.Names()[0]
			byName[name], byVerb[path+" --"+name] = true, true
			if _, ok := valueOf(path, name); !ok && !isSwitch(command, name) {
				t.Errorf("%s --%s: nobody has decided what completes its value: valuesByName", path, name)
			}
		}
	})
	for name := range valuesByName() {
		if !byName[name] {
			t.Errorf("valuesByName: no verb has --%s", name)
		}
	}
	for name := range valuesByVerb() {
		if !byVerb[name] {
			t.Errorf("valuesByVerb: there is no %s", name)
		}
	}
}

// TestOfferedWordsAreTheLegalOnes: what is offered for a flag is what the
// program itself names when it refuses a word.
func TestOfferedWordsAreTheLegalOnes(t *testing.T) {
	base := map[string][]string{
		"pick": {"pick", "--size", "H11"}, "fit": {"fit", "ostermoor-s22-h11"}, "reply": {"reply", "h11 low"},
		"compare": {"compare", "ostermoor-s22-h11", "caldry-basic-h11"}, "law": {"law", "GB"}, "aim": {"aim"},
		"pattern": {"pattern", "--grade", "cutoff=2"}, "bench reduce": {"bench", "reduce", "none.csv"},
	}
	checked := map[string]int{}
	env, _ := completer(t)
	eachVerb(env, func(path string, command *cli.Command) {
		line, ok := base[path]
		if !ok {
			return
		}
		for _, f := range command.Flags {
			name := f.Names()[0]
			env, _ := completer(t)
			var errors bytes.Buffer
			env.Err, env.In = &errors, strings.NewReader("")
			args := append(append([]string{"stillbright"}, line...), "--"+name, "zzz")
			switch name {
			case "per":
				args = append(args, "--budget", "60USD")
			case "picture":
				args = append(args, "--plot", "x.png")
			}
			env.Run(t.Context(), args)
			_, list, ok := strings.Cut(errors.String(), ": must be ")
			if !ok || !strings.Contains(errors.String(), "zzz") {
				continue
			}
			list, _, _ = strings.Cut(list, "\n")
			want := strings.Split(strings.ReplaceAll(list, " or ", ", "), ", ")
			got := offered(t, env, append(slices.Clone(line), "--"+name, "")...)
			slices.Sort(want)
			slices.Sort(got)
			if len(want) < 2 {
				continue // a bound, not a list
			}
			if !slices.Equal(got, want) {
				t.Errorf("%s --%s: offered %v, legal %v", path, name, got, want)
			}
			checked[path]++
		}
	})
	for path := range base {
		if checked[path] == 0 {
			t.Errorf("%s: no flag with a list of words was looked at", path)
		}
	}
	t.Log("lists compared:", checked)
}

// TestOfferedRecordsAreLegal: every word offered for a flag of the bench verbs
// and for a key of a lamp is one that the record takes.
func TestOfferedRecordsAreLegal(t *testing.T) {
	env, _ := completer(t)
	seen := 0
	for _, group := range [][]entry.Field{entry.Fields(data.NewBulb), entry.Fields(data.OfBulb), entry.Fields(data.NewRig), entry.Fields(data.OfLot), entry.Fields(data.BeforeTest), entry.Fields(data.AfterTest), entry.Fields(data.OfPattern)} {
		for _, f := range group {
			if strings.HasSuffix(f.Key, ".id") {
				continue
			}
			for _, word := range offered(t, env, "bench", "add", "--"+f.Flag, "") {
				seen++
				if err := f.Check(word); err != nil {
					t.Errorf("bench add --%s %s: %v", f.Flag, word, err)
				}
			}
			if unit := f.Unit(); unit != "" {
				for _, word := range offered(t, env, "bench", "add", "--"+f.Flag, "5") {
					if err := f.Check(word); err != nil && strings.Contains(err.Error(), "unit") {
						t.Errorf("bench add --%s %s: %v", f.Flag, word, err)
					}
				}
			}
		}
	}
	if seen < 20 {
		t.Errorf("only %d words were offered", seen)
	}
}

func TestCandidates(t *testing.T) {
	env, _ := completer(t)
	for _, c := range []struct {
		line string // words with blanks; the last is at the cursor
		want string // whole words, in order
	}{
		{"pi", "pick"},
		{"PI", "pick"},
		{"bench r", "run reduce"},
		{"bench ", "add run reduce"},
		{"--vers", "--version"},
		{"pick --hous", "--housing"},
		{"pick --housing ", "projector reflector"},
		{"pick --housing P", "projector"},
		{"pick --housing=p", "--housing=projector"},
		{"pick -housing=p", "-housing=projector"},
		{"pick --housing projector --hous", ""},
		{"--housing projector pick --hous", ""},
		{"pick --polarity ground-", "ground_switched"},
		{"pick --json=", "--json=true --json=false"},
		{"pick --driving ru", "rural"},
		{"pick --driving rural,h", "rural,highway"},
		{"pick --driving=rural,hi", "--driving=rural,highway"},
		{"pick --driving rural --driving r", "rain"},
		{"pick --driving rural,r", "rural,rain"},
		{"pick --size 9005", "9005"},
		{"pick --size hir", "HIR1 HIR2"},
		{"pick --trip 30", "30min 30s 30ms 30h"},
		{"pick --trip 27m", "27min 27ms"},
		{"pick --trip ", ""},
		{"pick --rear-clearance 2.25i", "2.25in"},
		{"pick --budget 60u", "60USD"},
		{"pick --where us-v", "US-VT US-VA"},
		{"pick --where germ", "Germany"},
		{"pick --weights ", "output= pattern= heat="},
		{"pick --weights output=0.5,", "output=0.5,pattern= output=0.5,heat="},
		{"pick --weights output=0.5,pattern=", ""},
		{"pick --car os", "oskel-hatch"},
		{"pick --picture ", "triangle heat"},
		{"compare --picture ", "warmup triangle heat"},
		{"law --beam d", "drl"},
		{"law US-V", "US-VT US-VA"},
		{"fit ostermoor-f", "ostermoor-flex-h11"},
		{"fit Ostermoor-F", "ostermoor-flex-h11"},
		{"fit -- ostermoor-f", "ostermoor-flex-h11"},
		{"fit -- --js", ""},
		{"fit --car oskel-hatch ostermoor-f", "ostermoor-flex-h11"},
		{"fit ostermoor-flex-h11 --car os", "oskel-hatch"},
		{"fit ostermoor-flex-h11 --js", "--json"},
		{"fit ostermoor-flex-h11 o", ""},
		{"compare ostermoor-flex-h11 ostermoor-f", ""},
		{"pattern --grade ", "cutoff= hot_spot= stray= dark= width="},
		{"pattern --grade cutoff=2,hot_spot=", "cutoff=2,hot_spot=0 cutoff=2,hot_spot=1 cutoff=2,hot_spot=2 cutoff=2,hot_spot=3"},
		{"pattern --grade --js", "--json"},
		{"pattern --limits un-r112-h", "un-r112-high-b"},
		{"pattern --limits un-r112-a --limits un-r112-", "un-r112-b un-r112-high-b"},
		{"bench add --surface t", "taped"},
		{"bench add --fold-back ", "none seen"},
		{"bench add --date ", "2026-11-25"},
		{"bench add --stock 700", "700lx 700klx 700fc"},
		{"car add x --lamp size=H11,beam=l", "size=H11,beam=low"},
		{"car add x --lamp size=H11,hou", "size=H11,housing="},
		{"completion ", "bash zsh fish"},
		{"help schemas pi", "pick-2"},
		{"help bench r", "run reduce"},
		{"help exi", "exit-codes"},
		{"nothing-known ", ""},
		{"pick --nothing-known=", ""},
	} {
		if got := strings.Join(offered(t, env, strings.Split(c.line, " ")...), " "); got != c.want {
			t.Errorf("%q offers %q, want %q", c.line, got, c.want)
		}
	}
}

func TestFilesAreWanted(t *testing.T) {
	env, _ := completer(t)
	for line, want := range map[string]string{
		"pick --catalog ": "folders 0", "pick --catalog=x": "folders 10", "pick --plot ": "files 0 png svg", "aim --plot=": "files 7 svg pdf png",
		"reply --from ": "files 0 csv tsv jsonl txt", "pattern --grid ": "files 0 csv ies", "pattern --photo ": "files 0 png jpg jpeg tif tiff dng",
		"bench reduce ": "files 0 csv tsv txt", "catalog start ": "folders 0", "catalog import x": "files 0 csv tsv xlsx json", "fit ": "words 0",
		"pick --driving ": "list 0", "pick --weights ": "open 0",
	} {
		words := strings.Split(line, " ")
		c := env.complete(words)
		if got := strings.TrimSpace(c.head(c.skip)); got != want {
			t.Errorf("%q: %q, want %q", line, got, want)
		}
	}
}

// TestOwnCatalogIsOffered: a catalog with faults offers what can be read of it,
// never a message, and never a name that could not be typed.
func TestOwnCatalogIsOffered(t *testing.T) {
	folder := t.TempDir()
	for file, content := range map[string]string{
		"catalog.yaml":             "format: 9\nnonsense: [",
		"bulbs/fine-h11.yaml":      "format: 1\nid: fine-h11\nname: Fine \x1b[31mred\x07 one\nsize: H11\n",
		"bulbs/broken-h7.yaml":     "\tname: [[[\n",
		"bulbs/empty.yaml":         "",
		"bulbs/evil\nname.yaml":    "name: x\n",
		"bulbs/-rf.yaml":           "name: x\n",
		"bulbs/$(touch x).yaml":    "name: x\n",
		"bulbs/.hidden.yaml":       "name: x\n",
		"bulbs/not-a-record.txt":   "name: x\n",
		"cars/my-car.yaml":         "name: \"My: car\" # mine\n",
		"rigs/h11-projector.yaml":  "name: 'Bench one'\n",
		"rigs/h7-reflector.yaml":   "id: h7-reflector\n",
		"elsewhere/bulbs/ignored1": "",
	} {
		path := filepath.Join(folder, filepath.FromSlash(file))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	const wanted = "broken-h7 empty fine-h11"
	env, out := completer(t, "STILLBRIGHT_CATALOG="+folder)
	if got := strings.Join(offered(t, env, "show", ""), " "); got != wanted {
		t.Errorf("show offers %q, want %q", got, wanted)
	}
	if got := strings.Join(offered(t, env, "pick", "--car", ""), " "); got != "my-car" {
		t.Errorf("--car offers %q", got)
	}
	if got := strings.Join(offered(t, env, "bench", "run", "--rig", "h"), " "); got != "h11-projector h7-reflector" {
		t.Errorf("--rig offers %q", got)
	}
	if code := env.Run(t.Context(), []string{"stillbright", completeVerb, "zsh", "show", "f"}); code != 0 || out.String() != "words 0\nfine-h11:Fine [31mred one\n" {
		t.Errorf("exit code %d, %q", code, out.String())
	}
	out.Reset()
	env.Run(t.Context(), []string{"stillbright", completeVerb, "zsh", "pick", "--car", "m"})
	if out.String() != "words 0\nmy-car:My: car\n" {
		t.Errorf("%q", out.String())
	}

	// The flag names the folder too, with ~ as it is still typed; a folder that
	// is not there offers nothing rather than the demo.
	env, _ = completer(t, "HOME="+filepath.Dir(folder))
	for _, words := range [][]string{{"show", "--catalog", folder, ""}, {"show", "--catalog=" + folder, ""}, {"--catalog", "~/" + filepath.Base(folder), "show", ""}} {
		if got := strings.Join(offered(t, env, words...), " "); got != wanted {
			t.Errorf("%q offers %q, want %q", words, got, wanted)
		}
	}
	if got := offered(t, env, "show", "--catalog", folder+"-gone", "o"); got != nil {
		t.Errorf("a folder that is not there offers %q", got)
	}
}

func TestBashLine(t *testing.T) {
	const breaks = " \t\n\"'><=;|&(:"
	env, _ := completer(t)
	for line, want := range map[string]string{
		"stillbright pick --where 'united k":            "United Kingdom",
		"stillbright pick --where \"united k":           "United Kingdom",
		"stillbright pick --where united\\ k":           `United\ Kingdom`,
		"stillbright pick --where=united\\ k":           `United\ Kingdom`,
		"stillbright pick --where=\"united k":           "United Kingdom",
		"stillbright pick --weights output=0.5,p":       "0.5,pattern=",
		"stillbright pick --driving=rural,hi":           "rural,highway",
		"stillbright pick --json 2>err.txt --housing p": "projector",
		"stillbright pick --housing r":                  "reflector",
		"true; stillbright pick --housing r":            "reflector",
		"stillbright 'pick' --hous\"ing\" r":            "reflector",
	} {
		out := &bytes.Buffer{}
		env.Out = out
		if err := env.completeBash(line, breaks); err != nil {
			t.Fatal(err)
		}
		_, got, _ := strings.Cut(out.String(), "\n")
		if got = strings.TrimSuffix(got, "\n"); got != want {
			t.Errorf("%q offers %q, want %q", line, got, want)
		}
	}
	for line, want := range map[string]bool{"stillbright pick > ": true, "stillbright pick >f": true, "stillbright pick 2>": true, "stillbright pick >f ": false, "stillbright pick": false} {
		if got := readBashLine(line, breaks).redirect; got != want {
			t.Errorf("%q: redirect %v, want %v", line, got, want)
		}
	}
	// Names that differ in letter case keep what was typed.
	out := &bytes.Buffer{}
	env.Out = out
	if err := env.completeBash("stillbright law de", breaks); err != nil {
		t.Fatal(err)
	}
	for _, line := range strings.Split(strings.TrimSpace(out.String()), "\n")[1:] {
		if !strings.HasPrefix(line, "de") {
			t.Errorf("%q does not start as typed", line)
		}
	}
}

// TestDescriptionsAreShort: what stands beside a candidate is one short line
// without control characters, for every flag and every list.
func TestDescriptionsAreShort(t *testing.T) {
	env, out := completer(t)
	lines := 0
	eachVerb(env, func(path string, command *cli.Command) {
		words := strings.Split(path, " ")
		asked := [][]string{append(slices.Clone(words), ""), append(slices.Clone(words), "-")}
		for _, f := range command.Flags {
			asked = append(asked, append(slices.Clone(words), "--"+f.Names()[0], ""))
		}
		for _, line := range asked {
			for _, shell := range known.CompletionShells() {
				out.Reset()
				args := append([]string{shell}, line...)
				if shell == "bash" {
					args = []string{shell, "stillbright " + strings.Join(line, " "), " ="}
				}
				if err := env.completeFor(args); err != nil {
					t.Fatal(err)
				}
				for _, text := range strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n") {
					lines++
					if plaintext.Clean(strings.ReplaceAll(text, "\t", "")) != strings.ReplaceAll(text, "\t", "") || plaintext.Width(text) > 110 {
						t.Errorf("%s %q: %q", shell, line, text)
					}
				}
			}
		}
	})
	if lines < 2000 {
		t.Errorf("only %d lines were looked at", lines)
	}
}

func TestCompletionScripts(t *testing.T) {
	env, out := completer(t)
	for _, shell := range known.CompletionShells() {
		out.Reset()
		if code := env.Run(t.Context(), []string{"stillbright", "completion", shell}); code != 0 || !strings.Contains(out.String(), completeVerb+" "+shell) {
			t.Errorf("completion %s: exit code %d, %d bytes", shell, code, out.Len())
		}
	}
	for _, args := range [][]string{{"completion"}, {"completion", "cmd"}, {"completion", "bash", "zsh"}} {
		if code := env.Run(t.Context(), append([]string{"stillbright"}, args...)); code != wrong.ExitUsage {
			t.Errorf("%v: exit code %d", args, code)
		}
	}
}

// FuzzComplete: no line makes the completion fail, and what it wants replaced
// lies inside the word.
func FuzzComplete(f *testing.F) {
	for _, line := range []string{"stillbright pick --size=h1", "stillbright --", "stillbright pick --driving rural,", `stillbright pick --where "un`, "stillbright pick --weights output=,p", "x 2>&1 | stillbright \\", "stillbright pattern --grade --limits", "stillbright bench add --marks cutoff=,=", "stillbright -= -"} {
		f.Add(line, " =:")
	}
	f.Fuzz(func(t *testing.T, line, breaks string) {
		env, out := completer(t)
		l := readBashLine(line, breaks)
		if current := l.words[len(l.words)-1]; l.plainStart < 0 || l.plainStart > len(current) {
			t.Fatalf("%q: replaced from byte %d of %q", line, l.plainStart, current)
		}
		c := env.complete(slices.Clone(l.words))
		if c.skip < 0 || c.skip > len(l.words[len(l.words)-1]) {
			t.Fatalf("%q keeps %d bytes", line, c.skip)
		}
		for _, shell := range []string{"bash", "zsh", "fish"} {
			args := append([]string{shell}, l.words...)
			if shell == "bash" {
				args = []string{shell, line, breaks}
			}
			if err := env.completeFor(args); err != nil {
				t.Fatal(err)
			}
		}
		if strings.ContainsAny(out.String(), "\x1b\x07\x00") && !strings.ContainsAny(line, "\x1b\x07\x00") {
			t.Fatalf("%q: control characters in %q", line, out.String())
		}
	})
}

// TestEveryEnvironmentIsOffered: the environments come from the rules.
func TestEveryEnvironmentIsOffered(t *testing.T) {
	env, _ := completer(t)
	want := map[string]bool{}
	for _, profile := range known.Rules().Driving {
		want[profile.Name] = true
	}
	got := map[string]bool{}
	for _, word := range offered(t, env, "pick", "--driving", "") {
		got[word] = true
	}
	if !maps.Equal(got, want) {
		t.Errorf("offered %v, known %v", got, want)
	}
}

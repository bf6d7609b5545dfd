package main

import (
	"encoding/json"
	"encoding/xml"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/mattn/go-runewidth"
	"github.com/rogpeppe/go-internal/testscript"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"stillbright/data/known"
	"stillbright/recommend/cli"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"stillbright": main,
	})
}

// TestScripts runs the real program through every script in testdata/scripts.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/scripts",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		UpdateScripts:       os.Getenv("UPDATE_SCRIPTS") != "",
		Setup: func(env *testscript.Env) error {
			env.Setenv("HOME", env.WorkDir)
			env.Setenv("XDG_DATA_HOME", filepath.Join(env.WorkDir, "data"))
			env.Setenv("XDG_CACHE_HOME", filepath.Join(env.WorkDir, "cache"))
			env.Setenv("CI", "")
			env.Setenv("STILLBRIGHT_TODAY", "2026-11-25")
			env.Setenv("TERM", "xterm")
			beams, err := filepath.Abs("testdata/beams")
			env.Setenv("BEAMS", beams)
			if err != nil {
				return err
			}
			return nil
		},
		Cmds: map[string]func(ts *testscript.TestScript, neg bool, args []string){
			"validjson": validJSON,
			"fits":      fits,
			"exits":     exits,
			"picture":   picture,
		},
	})
}

// exits runs a command and demands an exact exit code: exits 3 stillbright pick …
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND…")
	}
	err := ts.Exec(args[1], args[2:]...)
	code := 0
	if exit, ok := err.(*exec.ExitError); ok {
		code = exit.ExitCode()
	} else if err != nil {
		ts.Fatalf("%v", err)
	}
	if fmt.Sprint(code) != args[0] {
		ts.Fatalf("exit code %d, want %s", code, args[0])
	}
}

// validJSON checks that a file, or stdout, holds one JSON document that its own
// schema accepts.
func validJSON(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: validjson FILE")
	}
	if err := checkDocument(ts.ReadFile(args[0])); err != nil {
		ts.Fatalf("%s: %v", args[0], err)
	}
}

func checkDocument(text string) error {
	decoder := json.NewDecoder(strings.NewReader(text))
	var document struct{ Schema string }
	if err := json.Unmarshal([]byte(text), &document); err != nil {
		return err
	}
	var value any
	decoder.UseNumber()
	if err := decoder.Decode(&value); err != nil {
		return err
	}
	if first := strings.TrimLeft(text, "{ \n"); !strings.HasPrefix(first, `"schema"`) {
		return fmt.Errorf("first key is not schema")
	}
	name := strings.ReplaceAll(strings.TrimPrefix(document.Schema, "stillbright/"), "/", "-")
	schema, ok := known.Schema(name)
	if !ok {
		return fmt.Errorf("no schema %q ships with the program", name)
	}
	parsed, err := jsonschema.UnmarshalJSON(strings.NewReader(string(schema)))
	if err != nil {
		return err
	}
	compiler := jsonschema.NewCompiler()
	if err := compiler.AddResource(name, parsed); err != nil {
		return err
	}
	compiled, err := compiler.Compile(name)
	if err != nil {
		return err
	}
	instance, err := jsonschema.UnmarshalJSON(strings.NewReader(text))
	if err != nil {
		return err
	}
	return compiled.Validate(instance)
}

// fits checks that a file, or stdout, keeps to a screen: fits stdout 80 24
func fits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: fits FILE COLUMNS ROWS")
	}
	var columns, rows int
	fmt.Sscan(args[1], &columns)
	fmt.Sscan(args[2], &rows)
	if err := checkScreen(ts.ReadFile(args[0]), columns, rows); err != nil {
		ts.Fatalf("%v", err)
	}
}

// picture checks that a file is a picture of its kind: a PNG that decodes, or an
// SVG that is XML with a title and a description.
func picture(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: picture FILE")
	}
	content := ts.ReadFile(args[0])
	if strings.HasSuffix(args[0], ".svg") {
		var root struct {
			XMLName xml.Name `xml:"http://www.w3.org/2000/svg svg"`
			Title   string   `xml:"title"`
			Desc    string   `xml:"desc"`
		}
		if err := xml.Unmarshal([]byte(content), &root); err != nil {
			ts.Fatalf("%s: %v", args[0], err)
		}
		if root.Title == "" || root.Desc == "" {
			ts.Fatalf("%s: title %q, description %q", args[0], root.Title, root.Desc)
		}
		return
	}
	if _, err := png.Decode(strings.NewReader(content)); err != nil {
		ts.Fatalf("%s: %v", args[0], err)
	}
}

func checkScreen(text string, columns, rows int) error {
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	if len(lines) > rows {
		return fmt.Errorf("%d lines, the screen has %d", len(lines), rows)
	}
	for i, line := range lines {
		if width := runewidth.StringWidth(line); width > columns {
			return fmt.Errorf("line %d is %d columns wide, the screen has %d: %s", i+1, width, columns, line)
		}
	}
	return nil
}

// pure rooms import nothing that touches the world. The standard library's own
// needs do not count: the test looks at what our packages and the modules they
// use import themselves.
func TestPureRooms(t *testing.T) {
	rooms := []string{"data", "data/quantity", "fitment", "recommend", "recommend/need", "recommend/warmup", "recommend/beam", "recommend/road", "recommend/question", "recommend/sure", "recommend/plaintext", "recommend/answer", "recommend/reply", "recommend/sheets"}
	banned := []string{"os", "os/exec", "os/signal", "net", "net/http", "syscall", "time", "flag", "io/fs", "path/filepath", "log", "math/rand", "embed", "unsafe", "runtime"}
	allowedModules := []string{"stillbright/data", "stillbright/fitment", "stillbright/recommend", "gonum.org/v1/gonum", "golang.org/x/text", "github.com/sahilm/fuzzy",
		"golang.org/x/image", "github.com/mattn/go-runewidth", "github.com/clipperhouse/uax29"}
	for _, room := range rooms {
		for _, dep := range listDeps(t, "stillbright/"+room) {
			if dep.Standard {
				continue
			}
			if !slices.ContainsFunc(allowedModules, func(prefix string) bool {
				return dep.ImportPath == prefix || strings.HasPrefix(dep.ImportPath, prefix+"/")
			}) {
				t.Errorf("%s depends on %s", room, dep.ImportPath)
			}
			for _, effect := range []string{"/known", "/store", "/sheet", "/ask", "/cli"} {
				if strings.HasPrefix(dep.ImportPath, "stillbright") && strings.HasSuffix(dep.ImportPath, effect) {
					t.Errorf("%s depends on %s, which has effects", room, dep.ImportPath)
				}
			}
			if !strings.HasPrefix(dep.ImportPath, "stillbright/") {
				continue
			}
			for _, imported := range dep.Imports {
				if slices.Contains(banned, imported) {
					t.Errorf("%s: %s imports %s", room, dep.ImportPath, imported)
				}
			}
		}
	}
}

type goPackage struct {
	ImportPath string
	Standard   bool
	Imports    []string
}

func listDeps(t *testing.T, path string) []goPackage {
	t.Helper()
	out, err := exec.Command("go", "list", "-deps", "-json=ImportPath,Standard,Imports", path).Output()
	if err != nil {
		t.Fatalf("go list %s: %v", path, err)
	}
	var list []goPackage
	for decoder := json.NewDecoder(strings.NewReader(string(out))); decoder.More(); {
		var p goPackage
		if err := decoder.Decode(&p); err != nil {
			t.Fatal(err)
		}
		list = append(list, p)
	}
	if len(list) == 0 {
		t.Fatalf("go list %s: nothing", path)
	}
	return list
}

// TestTopLevel holds the top of the repository to what was agreed.
func TestTopLevel(t *testing.T) {
	agreed := []string{"README.md", "DEVELOPERS.md", "go.mod", "go.sum", "main.go", "main_test.go", "LICENSE", "fitment", "recommend", "data", "testdata"}
	out, err := exec.Command("git", "ls-files").Output()
	if err != nil {
		t.Skip("not a git checkout")
	}
	for _, file := range strings.Fields(string(out)) {
		top, _, _ := strings.Cut(file, "/")
		if !strings.HasPrefix(top, ".") && !slices.Contains(agreed, top) {
			t.Errorf("%s stands outside the agreed top level", file)
		}
	}
}

// TestReadme runs every "$ " command of the README, one after another in one
// new folder that holds nothing but testdata, and demands the output that stands
// under it. A command may go on behind a backslash. UPDATE_README=1 writes it anew.
func TestReadme(t *testing.T) {
	binary := filepath.Join(t.TempDir(), "stillbright")
	if out, err := exec.Command("go", "build", "-o", binary, ".").CombinedOutput(); err != nil {
		t.Fatalf("go build: %v\n%s", err, out)
	}
	text, err := os.ReadFile("README.md")
	if err != nil {
		t.Fatal(err)
	}
	folder := t.TempDir()
	if err := os.CopyFS(filepath.Join(folder, "testdata"), os.DirFS("testdata")); err != nil {
		t.Fatal(err)
	}
	var fresh strings.Builder
	commands := 0
	lines := strings.Split(string(text), "\n")
	for i := 0; i < len(lines); i++ {
		fresh.WriteString(lines[i] + "\n")
		command, ok := strings.CutPrefix(lines[i], "$ ")
		if !ok {
			continue
		}
		commands++
		for strings.HasSuffix(command, "\\") && i+1 < len(lines) {
			i++
			fresh.WriteString(lines[i] + "\n")
			command = strings.TrimSuffix(command, "\\") + lines[i]
		}
		for i+1 < len(lines) && !strings.HasPrefix(lines[i+1], "$ ") && lines[i+1] != "```" {
			i++
		}
		fresh.WriteString(readmeOutput(t, binary, folder, command))
	}
	want := strings.TrimSuffix(fresh.String(), "\n")
	if commands < 5 {
		t.Errorf("only %d commands found in the README", commands)
	}
	if want == string(text) {
		return
	}
	if os.Getenv("UPDATE_README") != "" {
		if err := os.WriteFile("README.md", []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	t.Errorf("the README does not say what the program prints; UPDATE_README=1 go test -run TestReadme . writes it anew")
}

func readmeOutput(t *testing.T, binary, folder, command string) string {
	t.Helper()
	words := shellWords(command)
	switch {
	case strings.HasPrefix(command, "go run . "):
		words = words[3:]
	case words[0] == "stillbright":
		words = words[1:]
	default:
		t.Fatalf("README command %q: only stillbright and go run . are run here", command)
	}
	home := filepath.Join(folder, "home")
	run := exec.Command(binary, words...)
	run.Dir = folder
	run.Env = append(os.Environ(), "HOME="+home, "XDG_DATA_HOME="+home, "XDG_CACHE_HOME="+home, "STILLBRIGHT_CATALOG=", "STILLBRIGHT_TODAY=2026-11-25", "COLUMNS=")
	out, err := run.CombinedOutput() // as on a terminal
	if exit, ok := err.(*exec.ExitError); ok && exit.ExitCode() != 3 {
		t.Fatalf("README command %q: %v: %s", command, err, out)
	}
	return string(out)
}

// shellWords splits a command at spaces outside double quotes.
func shellWords(command string) []string {
	quoted := false
	words := strings.FieldsFunc(command, func(r rune) bool {
		if r == '"' {
			quoted = !quoted
		}
		return r == ' ' && !quoted
	})
	for i := range words {
		words[i] = strings.Trim(words[i], `"`)
	}
	return words
}

// examplePictures are the pictures of the README and the commands that make them.
var examplePictures = map[string]string{
	"triangle.png": "pick --size H11 --housing projector --driving rural,highway",
	"warmup.png":   "compare ostermoor-s22-h11 ostermoor-flex-h11 vintrock-9k-h11 hushwell-cool-h11 --housing projector --driving rural,highway",
}

// TestExamplePictures makes the pictures of the README again and demands the same
// dots, but for the last digit in which processors may differ. UPDATE_README=1
// writes them anew.
func TestExamplePictures(t *testing.T) {
	for name, command := range examplePictures {
		kept, fresh := filepath.Join("testdata", "pictures", name), filepath.Join(t.TempDir(), name)
		if os.Getenv("UPDATE_README") != "" {
			fresh = kept
		}
		home := t.TempDir()
		env := &cli.Env{Out: io.Discard, Err: io.Discard, Getenv: func(name string) string {
			return map[string]string{"HOME": home, "STILLBRIGHT_TODAY": "2026-11-25"}[name]
		}}
		if code := env.Run(t.Context(), slices.Concat([]string{"stillbright"}, strings.Fields(command), []string{"--plot", fresh})); code != 0 {
			t.Fatalf("%s: exit code %d", command, code)
		}
		a, b := decodePNG(t, kept), decodePNG(t, fresh)
		if a.Bounds() != b.Bounds() {
			t.Fatalf("%s is %v, made again %v; UPDATE_README=1 writes it anew", name, a.Bounds(), b.Bounds())
		}
		other := 0
		for y := range a.Bounds().Dy() {
			for x := range a.Bounds().Dx() {
				p, q := color.GrayModel.Convert(a.At(x, y)).(color.Gray).Y, color.GrayModel.Convert(b.At(x, y)).(color.Gray).Y
				if max(p, q)-min(p, q) > 40 {
					other++
				}
			}
		}
		if other > 100 {
			t.Errorf("%s: %d dots differ; UPDATE_README=1 go test -run TestExamplePictures . writes it anew", name, other)
		}
	}
}

func decodePNG(t *testing.T, name string) image.Image {
	t.Helper()
	file, err := os.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	picture, err := png.Decode(file)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return picture
}

// TestTextsNameWhatIsThere holds the two texts to the program: a verb named in
// the middle of a sentence has help, and a file or folder named there exists.
func TestTextsNameWhatIsThere(t *testing.T) {
	verb := regexp.MustCompile("`stillbright((?: [a-z]+){1,2})")
	file := regexp.MustCompile("`(?:bash )?((?:\\.ci|data|fitment|recommend|testdata)/[a-z/._-]+)`")
	verbs, files := 0, 0
	for _, name := range []string{"README.md", "DEVELOPERS.md"} {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		flat := strings.Join(strings.Fields(string(text)), " ")
		for _, found := range verb.FindAllStringSubmatch(flat, -1) {
			verbs++
			words := strings.Fields(found[1])
			if words[0] != "help" {
				words = append(words, "--help")
			}
			var stderr strings.Builder
			env := &cli.Env{Out: io.Discard, Err: &stderr, Getenv: func(string) string { return "" }}
			if code := env.Run(t.Context(), append([]string{"stillbright"}, words...)); code != 0 {
				t.Errorf("%s: stillbright%s: %s", name, found[1], stderr.String())
			}
		}
		for _, found := range file.FindAllStringSubmatch(flat, -1) {
			files++
			if _, err := os.Stat(found[1]); err != nil {
				t.Errorf("%s: %v", name, err)
			}
		}
	}
	if verbs < 5 || files < 10 {
		t.Errorf("only %d verbs and %d files found", verbs, files)
	}
	// The walk of one reading names functions and types: package.Name.
	text, err := os.ReadFile("DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	names := regexp.MustCompile("`([a-z]+)\\.([A-Z][A-Za-z]+)`").FindAllStringSubmatch(string(text), -1)
	for _, name := range names {
		sources, _ := filepath.Glob(name[1] + "/*.go")
		inner, _ := filepath.Glob("*/" + name[1] + "/*.go")
		inmost, _ := filepath.Glob("*/*/" + name[1] + "/*.go")
		defined := regexp.MustCompile(`(?m)^(func|type) ` + name[2] + `\b`)
		if !slices.ContainsFunc(slices.Concat(sources, inner, inmost), func(file string) bool {
			content, err := os.ReadFile(file)
			return err == nil && defined.Match(content)
		}) {
			t.Errorf("DEVELOPERS.md: %s.%s is nowhere", name[1], name[2])
		}
	}
	if len(names) < 8 {
		t.Errorf("only %d names found", len(names))
	}
}

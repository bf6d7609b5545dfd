package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
)

// programs are the binaries built for the comparison.
type programs struct {
	stillbright string // as it is released
	line        string // prints one line
	linked      string // links what stillbright links, and does nothing
}

// release is how .ci/release builds the program for its users; without C, too, since
// a program that loads the C library starts later.
var release = []string{"build", "-trimpath", "-ldflags", "-s -w", "-tags", "urfave_cli_no_docs"}

const oneLine = `package main

import "os"

func main() { os.Stdout.WriteString("stillbright\n") }
`

func build(folder string) (programs, error) {
	linked, err := linkedSource()
	if err != nil {
		return programs{}, err
	}
	built := programs{stillbright: filepath.Join(folder, "stillbright"), line: filepath.Join(folder, "line"), linked: filepath.Join(folder, "linked")}
	for _, one := range []struct{ to, source, text string }{
		{built.stillbright, ".", ""}, {built.line, filepath.Join(folder, "line.go"), oneLine}, {built.linked, filepath.Join(folder, "linked.go"), linked},
	} {
		if one.text != "" {
			if err := os.WriteFile(one.source, []byte(one.text), 0o644); err != nil {
				return programs{}, err
			}
		}
		if _, err := output("go", append(slices.Clone(release), "-o", one.to, one.source)...); err != nil {
			return programs{}, err
		}
	}
	return built, nil
}

// linkedSource is a program that imports every package that stillbright imports
// from outside itself, those of Go's own library too, and does nothing.
func linkedSource() (string, error) {
	list, err := output("go", "list", "-tags", "urfave_cli_no_docs", "-deps", "-f",
		`{{if eq .ImportPath "stillbright"}}{{else if .Module}}{{if .Module.Main}}{{join .Imports "\n"}}{{end}}{{end}}`, ".")
	if err != nil {
		return "", err
	}
	paths := strings.Fields(list)
	slices.Sort(paths)
	var imports strings.Builder
	for _, path := range slices.Compact(paths) {
		if !strings.HasPrefix(path, "stillbright/") && path != "unsafe" {
			fmt.Fprintf(&imports, "\t_ %q\n", path)
		}
	}
	return "package main\n\nimport (\n" + imports.String() + ")\n\nfunc main() {}\n", nil
}

func output(name string, args ...string) (string, error) {
	command := exec.Command(name, args...)
	command.Env = append(os.Environ(), "CGO_ENABLED=0")
	var problems strings.Builder
	command.Stderr = &problems
	out, err := command.Output()
	if err != nil {
		return "", fmt.Errorf("%s: %w\n%s", name, err, problems.String())
	}
	return string(out), nil
}

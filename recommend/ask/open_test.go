package ask_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"stillbright/recommend/ask"
)

func TestOpenRefuses(t *testing.T) {
	file, err := os.Create(filepath.Join(t.TempDir(), "file"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	none := func(string) string { return "" }
	for why, options := range map[string]ask.Options{
		"--no-input is set":                {Stdin: file, NoInput: true, Getenv: none},
		"the variable CI is set":           {Stdin: file, Getenv: func(name string) string { return map[string]string{"CI": "true"}[name] }},
		"standard input is not a terminal": {Stdin: file, Getenv: none, Plain: true},
	} {
		p, err := ask.Open(options)
		if p != nil || !errors.Is(err, ask.ErrNotInteractive) || !strings.Contains(err.Error(), why) {
			t.Errorf("want %q, got %v, %v", why, p, err)
		}
	}
}

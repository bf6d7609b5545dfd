package question

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"gopkg.in/yaml.v3"

	"stillbright/data"
)

// loadWords reads the shipped words as a strict reader would.
func loadWords(t testing.TB) data.Words {
	t.Helper()
	files, err := filepath.Glob("../../data/known/yaml/words_*.yaml")
	if err != nil || len(files) == 0 {
		t.Fatal("no words files", err)
	}
	var all data.Words
	for _, file := range files {
		content, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		var one data.Words
		dec := yaml.NewDecoder(bytes.NewReader(content))
		dec.KnownFields(true)
		if err := dec.Decode(&one); err != nil {
			t.Fatalf("%s: %v", file, err)
		}
		all = all.Merge(one)
	}
	return all
}

func newReader(t testing.TB) *Reader {
	t.Helper()
	return New(loadWords(t), nil)
}

func TestShippedWordsAreSound(t *testing.T) {
	if err := Check(loadWords(t)); err != nil {
		t.Error(err)
	}
}

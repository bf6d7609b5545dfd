package data_test

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"testing"

	"stillbright/data"
	"stillbright/data/store"
)

// known reads one of the shipped YAML files strictly.
func known(t testing.TB, name string, record any) {
	t.Helper()
	content, err := os.ReadFile(filepath.Join("known", "yaml", name))
	if err != nil {
		t.Fatal(err)
	}
	if _, faults := store.Decode(name, content, record); len(faults) > 0 {
		t.Fatal(faults)
	}
}

func knownSizes(t testing.TB) []data.Size {
	var file data.SizeFile
	known(t, "sizes.yaml", &file)
	return file.Sizes
}

func knownUS(t testing.TB) []data.USFigure {
	var file data.USFile
	known(t, "sizes_us.yaml", &file)
	return file.Figures
}

func knownPlaces(t testing.TB) []data.Place {
	var file data.PlaceFile
	known(t, "places.yaml", &file)
	return file.Places
}

func knownLaw(t testing.TB) ([]data.LawRow, []data.LawNote) {
	var rows data.LawFile
	known(t, "law.yaml", &rows)
	var notes data.LawNotesFile
	known(t, "law_notes.yaml", &notes)
	return rows.Rows, notes.Notes
}

// facts reads one of the prepared tables of testdata/facts as records by column name.
func facts(t testing.TB, name string) []map[string]string {
	t.Helper()
	file, err := os.Open(filepath.Join("..", "testdata", "facts", name))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var list []map[string]string
	for _, row := range rows[1:] {
		record := map[string]string{}
		for i, column := range rows[0] {
			record[column] = row[i]
		}
		list = append(list, record)
	}
	return list
}

package store

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"stillbright/data"
)

// tenYears lays out a catalog of 500 bulbs with ten tests each.
func tenYears(b *testing.B) string {
	_, folder := bench(b)
	for i := range 500 {
		bulb := bulbOf(fmt.Sprintf("bulb-%d", i))
		bulb.Format = 1
		lot := data.Lot{Name: "a"}
		for j := range 10 {
			test := testOn(data.Date(fmt.Sprintf("20%02d-01-02", 10+j)), float64(900+j))
			for minute := range 12 {
				test.Readings = append(test.Readings, data.Reading{At: float64(minute + 1), Lux: float64(880 - minute)})
			}
			lot.Tests = append(lot.Tests, test)
		}
		bulb.Lots = []data.Lot{lot}
		text, err := Encode(bulb)
		if err != nil {
			b.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(folder, "bulbs", bulb.ID+".yaml"), text, 0o644); err != nil {
			b.Fatal(err)
		}
	}
	return folder
}

func BenchmarkLoad(b *testing.B) {
	folder := tenYears(b)
	known := knowledge(b)
	for b.Loop() {
		if _, faults := Load(os.DirFS(folder), folder, known); len(faults) > 0 {
			b.Fatal(faults)
		}
	}
}

func BenchmarkAddTest(b *testing.B) {
	folder := tenYears(b)
	w, err := Open(folder, Options{Known: knowledge(b), Now: clock})
	if err != nil {
		b.Fatal(err)
	}
	lux := 1.0
	for b.Loop() {
		if _, err := w.AddTest("bulb-7", "a", "", testOn("2026-01-01", lux)); err != nil {
			b.Fatal(err)
		}
		lux++
	}
}

func BenchmarkMerge(b *testing.B) {
	bulb := record[data.Bulb](random(1), 0)
	old, err := Encode(bulb)
	if err != nil {
		b.Fatal(err)
	}
	bulb.Lots[0].Tests = append(bulb.Lots[0].Tests, testOn("2026-01-01", 1000))
	for b.Loop() {
		if _, err := Merge(old, bulb); err != nil {
			b.Fatal(err)
		}
	}
}

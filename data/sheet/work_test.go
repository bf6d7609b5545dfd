package sheet

import (
	"bytes"
	"fmt"
	"runtime"
	"strings"
	"testing"

	"stillbright/data"
	"stillbright/data/known"
)

// TestWorkGrowsWithTheRows counts the memory that is asked for: with four times
// the rows it may be about four times as much. Where each row is held against
// each other, or what is there is copied for each row, it is up to sixteen times.
func TestWorkGrowsWithTheRows(t *testing.T) {
	asked := func(work func()) float64 {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		work()
		runtime.ReadMemStats(&after)
		return float64(after.TotalAlloc - before.TotalAlloc)
	}
	const few, many = 300, 1200
	linear := func(t *testing.T, work func(rows int)) {
		t.Helper()
		work(few) // what is made once
		once, more := asked(func() { work(few) }), asked(func() { work(many) })
		if more > 1.5*many/few*once {
			t.Errorf("%d rows ask for %.1f times the memory of %d", many, more/once, few)
		}
	}
	letters := func(i int) string {
		return string([]byte{'a' + byte(i/17576%26), 'a' + byte(i/676%26), 'a' + byte(i/26%26), 'a' + byte(i%26)})
	}
	for name, row := range map[string]func(i int) string{
		"each row another bulb":     func(i int) string { return letters(i) + "word,H11,2026-01-01,700" },
		"one bulb on one day":       func(i int) string { return fmt.Sprintf("Vesper,H11,2026-01-01,%d.%d", 700+i%97, i) },
		"one bulb, the same row":    func(int) string { return "Vesper,H11,2026-01-01,700" },
		"one bulb on many days":     func(i int) string { return fmt.Sprintf("Vesper,H11,%04d-%02d-%02d,700", 1990+i/336, 1+i/28%12, 1+i%28) },
		"names alike but for digit": func(i int) string { return fmt.Sprintf("Vesper %d,H11,2026-01-01,700", i) },
	} {
		t.Run(name, func(t *testing.T) {
			linear(t, func(rows int) {
				var text strings.Builder
				text.WriteString("Bulb,Size,Date,Projector lux 0 min\n")
				for i := range rows {
					text.WriteString(row(i) + "\n")
				}
				table, err := ReadTable(strings.NewReader(text.String()), "x.csv", "")
				if err != nil {
					t.Fatal(err)
				}
				c := benchOf()
				read, err := Interpret(table, Mapping{}, c, known.Sizes())
				if err != nil || len(read.Entries) != rows {
					t.Fatalf("%d entries, %v %v", len(read.Entries), err, read.Faults)
				}
				for _, o := range Apply(&c, "x.csv", read.Entries, knowledge(), Choices{}) {
					if o.Fault != nil {
						t.Fatal(o.Fault)
					}
				}
			})
		})
	}
	t.Run("rigs of a document", func(t *testing.T) {
		linear(t, func(rows int) {
			var from, c data.Catalog
			for i := range rows {
				from.Rigs = append(from.Rigs, data.Rig{Format: 1, ID: fmt.Sprintf("rig-%d", i), Name: "x", Size: "H11", Beam: "low", Housing: "projector", Source: "invented"})
			}
			content, err := WriteRecords(from)
			if err != nil {
				t.Fatal(err)
			}
			read, err := ReadRecords(bytes.NewReader(content), "x.json")
			if err != nil {
				t.Fatal(err)
			}
			for _, want := range []string{StateAdded, StateKnown} {
				for _, o := range ApplyRecords(&c, read, knowledge(), Choices{}) {
					if o.State != want {
						t.Fatalf("%s is %s, want %s", o.ID, o.State, want)
					}
				}
			}
		})
	})
}

package answer

import (
	"fmt"

	"stillbright/recommend/sheets"
)

// Recorded is a test that was just written.
type Recorded struct {
	Run   *sheets.BenchRun
	Sheet sheets.TestSheet // the test as show has it
	Files []string         // written; none: the catalog held the test already
	Bulb  string
	Lot   string
	Flag  string // --catalog and its folder, quoted for a shell, for the command that follows; or empty
}

// RecordedNote is where the test was written and what it says against stock, in
// one sentence.
func RecordedNote(r *Recorded) string { return recordedWhere(r) + " " + recordedStock(r) }

// RecordedTest is the screen after a test was written: what it says, where it
// stands, and which facts are still missing.
func RecordedTest(r *Recorded) Document {
	p := new(page)
	if len(r.Run.Readings) > 0 {
		p.say(benchFigure(r.Run))
	}
	p.say(recordedStock(r))
	if len(r.Run.Readings) > 1 {
		p.say(benchShape(r.Run.Sheet) + " " + benchSettled(r.Run.Sheet))
		p.say(benchEnough(r.Run))
		c := benchChart(r.Run)
		if len(r.Sheet.StockLux) > 0 {
			c.stock = r.Sheet.StockLux[0]
		}
		p.gap()
		p.put(Picture{Of: c, Caption: c.legend(), Alt: benchFigure(r.Run), Indent: 2})
		p.gap()
	}
	for _, m := range r.Sheet.Missing {
		p.say("Missing: " + m.What + ". " + capital(m.How) + ".")
	}
	for _, note := range r.Run.Sheet.Notes {
		p.say("Note: " + note)
	}
	p.say(recordedWhere(r))
	p.put(Line{Text: Text{command("stillbright show " + r.Bulb + r.Flag)}})
	return p.doc
}

func recordedWhere(r *Recorded) string {
	if len(r.Files) == 0 {
		return "The catalog held this test already."
	}
	return fmt.Sprintf("Written: %s (lot %s).", sentence(r.Files), r.Lot)
}

func recordedStock(r *Recorded) string {
	if r.Sheet.Hot.VsStock == nil {
		return "Against stock nothing can be said yet."
	}
	h := r.Sheet.Hot
	return fmt.Sprintf("%s times stock (%s–%s) at %s, the spread from lamp to lamp included.",
		significant(*h.VsStock, 3), significant(*h.VsStockLow, 3), significant(*h.VsStockHigh, 3), minutes(h.AtMin))
}

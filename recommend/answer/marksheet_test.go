package answer

import (
	"bytes"
	"image/png"
	"math"
	"strings"
	"testing"

	"stillbright/data/known"
	"stillbright/recommend/answer/draw"
	"stillbright/recommend/beam"
)

// What is printed is what is looked for: every page holds one mark of its size.
func TestMarkSheetIsFound(t *testing.T) {
	topic, _ := known.HelpTopic("photo")
	if !bytes.Contains(MarkSheet(topic), []byte("/Count 7")) {
		t.Error("not six pages and one of words")
	}
	// Every line of the topic fits on its page.
	for _, line := range strings.Split(topic, "\n") {
		if at := min(len(line), procedureIndent); draw.TextWidth(line[at:], 3.15) > 190-34-4 {
			t.Errorf("too wide for the page: %s", line)
		}
	}
	for k := range 6 {
		file, err := markPage(k).PNG()
		if err != nil {
			t.Fatal(err)
		}
		picture, err := png.Decode(bytes.NewReader(file))
		if err != nil {
			t.Fatal(err)
		}
		found := beam.FindMarks(picture)
		want := 1000 * beam.MarkOuter * draw.DotsPerMM
		if len(found) != 1 || math.Abs(found[0].Size/want-1) > 0.03 || math.Abs(found[0].X-95*draw.DotsPerMM) > 1 || math.Abs(found[0].Y-122*draw.DotsPerMM) > 1 {
			t.Errorf("page %d: found %+v, want one of %.0f dots", k+1, found, want)
		}
	}
}

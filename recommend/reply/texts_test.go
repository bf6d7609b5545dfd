package reply_test

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/recommend/road"
)

// TestReplyTextsAgreeWithFormulas: every number of the prepared texts that follows
// from a formula is computed again from it.
func TestReplyTextsAgreeWithFormulas(t *testing.T) {
	texts := map[string]data.ReplyText{}
	for _, text := range known.Replies() {
		texts[text.ID] = text
	}
	least := math.Pow(12.0/13.2, road.HalogenExponentLeast)
	flux, err := road.HalogenFlux(12.0, 13.2)
	if err != nil {
		t.Fatal(err)
	}
	white, err := road.WhiteEnd(road.WhiteUS(), road.Daylight)
	if err != nil {
		t.Fatal(err)
	}
	percent := func(v float64) string { return strconv.FormatFloat(v, 'f', 0, 64) }
	tenth := func(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }
	degrees := func(rad float64) float64 { return 180 / math.Pi * rad }
	for _, c := range []struct{ id, want string }{
		{"look-first", percent(100*(1-least)) + " to " + percent(100*(1-flux)) + " % of its light"},  // 1 - (12/13.2)^2.9, ^3.4
		{"canbus-or-not", "25 W draws about " + tenth(25/13.5) + " A"},                               // I = P/U
		{"flicker-check", "25 W about " + tenth(25/13.5) + " A"},                                     // I = P/U
		{"flicker-resistor", strconv.FormatFloat(13.5/6, 'f', 2, 64) + " A"},                         // I = U/R
		{"flicker-resistor", percent(13.5*13.5/6) + " W into heat"},                                  // P = U^2/R
		{"projector-or-reflector", "about " + tenth(math.Floor(10*degrees(0.5/25))/10) + " degrees"}, // shift over focal length, 1.15
		{"scatter-reflector", "about " + tenth(math.Floor(10*degrees(0.5/25))/10) + " degrees"},      // the same
		{"aim-tape", tenth(1000*math.Tan(0.25*math.Pi/180)) + " cm at 10 m"},                         // d tan(a)
		{"aim-figures", percent(0.01*300) + " inches at 25 ft"},                                      // 1 % of 300 in
		{"aim-figures", "0.4 degrees is " + tenth(300*math.Tan(0.4*math.Pi/180)) + " inches"},        // d tan(a)
		{"aim-vol", tenth(300*math.Tan(0.4*math.Pi/180)) + " inches at 25 ft"},                       // d tan(a)
		{"watts", "about " + percent(1500.0/58) + " lm/W"},                                           // UN R37 H7
		{"colour", "Near " + thousands(10*math.Round(white/10)) + " K white ends"},                   // x = 0.31 on the daylight locus
		{"aim-plate", "1 % is " + percent(0.01*1000) + " cm at 10 m"},                                // 1 % of 1,000 cm
	} {
		if text := texts[c.id]; !strings.Contains(text.Text, c.want) {
			t.Errorf("%s: %q is not in %q", c.id, c.want, text.Text)
		}
	}
	if amps := 55 / 13.5; !(amps > 4) {
		t.Errorf("a 55 W halogen draws %g A, not over 4", amps)
	}
	var rungs []float64
	for _, rung := range known.Claims() {
		rungs = append(rungs, rung.Above)
	}
	for _, n := range []float64{370, 250, 150, 120, 60} {
		if !slices.Contains(rungs, n) || !strings.Contains(texts["lumens"].Text, percent(n)) {
			t.Errorf("lumens: %g lm/W is not on the ladder of claims, or not in the text", n)
		}
	}
}

// thousands prints a number with a comma, as prose does.
func thousands(v float64) string {
	text := strconv.FormatFloat(v, 'f', 0, 64)
	return text[:len(text)-3] + "," + text[len(text)-3:]
}

// TestReplyTexts: every ask but those that a decision answers has a general text or
// an answer of its own, every number of a short text is one of the long text, and
// nobody is told that something is legal.
func TestReplyTexts(t *testing.T) {
	general := map[string]bool{"pick": true, "compare": true, "law": true, "other": true, "size": true}
	for _, text := range known.Replies() {
		if len(text.Words) == 0 && text.Housing == "" && len(text.Beams) == 0 {
			for _, ask := range text.Asks {
				general[ask] = true
			}
		}
		long := numbersOf(text.Text + " " + text.Source)
		for _, n := range numbersOf(text.Short) {
			if !slices.Contains(long, n) {
				t.Errorf("%s: %s stands only in the short text", text.ID, n)
			}
		}
		for _, s := range []string{text.Text, text.Short} {
			if strings.Contains(s, "!") || strings.Contains(s, " is legal") || strings.Contains(s, " are legal") || !strings.HasSuffix(s, ".") {
				t.Errorf("%s: %q", text.ID, s)
			}
		}
	}
	for _, ask := range []string{"pick", "fit", "compare", "law", "flicker", "aim", "pattern", "size", "other"} {
		if !general[ask] {
			t.Errorf("no general text for %s", ask)
		}
	}
}

func numbersOf(text string) []string {
	var all []string
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return !strings.ContainsRune("0123456789.,", r) }) {
		if n := strings.Trim(word, ".,"); n != "" {
			all = append(all, n)
		}
	}
	return all
}

package answer

import (
	"regexp"
	"strings"
	"testing"

	"stillbright/recommend"
)

// TestCompareFitsTheScreen: no line is wider than asked for, with six bulbs and
// names that are too long, short or full.
func TestCompareFitsTheScreen(t *testing.T) {
	for _, hostile := range []bool{false, true} {
		for _, n := range []recommend.Need{projector, {Size: "H11"}} {
			sheet := compared(t, hostile, n, sixBulbs...)
			for _, width := range []int{80, 100} {
				for _, full := range []bool{false, true} {
					text := Compare(sheet, full).Terminal(width, false)
					for _, line := range strings.Split(text, "\n") {
						if columns(line) > width {
							t.Errorf("width %d, full %v: %d columns: %q", width, full, columns(line), line)
						}
					}
				}
			}
		}
	}
}

// TestCompareMarksNoise: a cell carries the mark exactly when the pair with the
// best of its row is within the noise.
func TestCompareMarksNoise(t *testing.T) {
	sheet := compared(t, false, projector, sixBulbs...)
	text := Compare(sheet, false).Terminal(80, false)
	// Light of the six in the projector; the first is the brightest.
	row := regexp.MustCompile(`(?m)^hot vs stock.*$`).FindString(text)
	cells := strings.Fields(strings.TrimPrefix(row, "hot vs stock"))
	best := 0
	for i, b := range sheet.Bulbs {
		if b.Hot.VsStock != nil && (sheet.Bulbs[best].Hot.VsStock == nil || *b.Hot.VsStock > *sheet.Bulbs[best].Hot.VsStock) {
			best = i
		}
	}
	for i, b := range sheet.Bulbs {
		same := false
		for _, p := range sheet.Pairs {
			if i != best && (p.A == b.Bulb && p.B == sheet.Bulbs[best].Bulb || p.B == b.Bulb && p.A == sheet.Bulbs[best].Bulb) {
				same = strings.Contains(strings.Join(p.Same, " "), recommend.AspectLight)
			}
		}
		if got := strings.HasSuffix(cells[i], "~"); got != same {
			t.Errorf("%s: cell %q, within the noise of the best: %v", b.Bulb, cells[i], same)
		}
	}
	if !strings.Contains(text, noiseNote[:40]) {
		t.Error("the mark is not explained")
	}
}

// TestMarkdown: hostile names stay text: no cell more, no HTML, no link, no
// mention, no control character.
func TestMarkdown(t *testing.T) {
	sheet := compared(t, true, projector, sixBulbs...)
	text := CompareTable(sheet).Markdown()
	rows := 0
	for _, line := range strings.Split(text, "\n") {
		if !strings.HasPrefix(line, "|") {
			continue
		}
		rows++
		bare := strings.ReplaceAll(strings.ReplaceAll(line, `\\`, ""), `\|`, "")
		if got := strings.Count(bare, "|"); got != len(sheet.Bulbs)+3 {
			t.Errorf("%d bars in %q", got, line)
		}
	}
	if rows < 20 {
		t.Errorf("%d rows", rows)
	}
	for _, bad := range []string{"<", ">", "@", "http://", "www.", "\x1b", "\u202e"} {
		if strings.Contains(text, bad) {
			t.Errorf("%q stands in the text", bad)
		}
	}
	if regexp.MustCompile("(^|[^\\\\])[`*\\[]").MatchString(text) {
		t.Error("a mark of Markdown is not escaped")
	}
	if strings.Contains(markdownText("5 & 6 <b>"), "& ") || markdownText("a|b") != `a\|b` || markdownText("H11 (H9), 4–5") != "H11 (H9), 4–5" {
		t.Errorf("%q %q %q", markdownText("5 & 6 <b>"), markdownText("a|b"), markdownText("H11 (H9), 4–5"))
	}
}

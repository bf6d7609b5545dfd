package answer

import (
	"fmt"
	"math"
	"strings"

	"stillbright/recommend"
	"stillbright/recommend/plaintext"
)

// The pictures in plain characters, for a terminal.

const triangleRows = 13

// trianglePlain is who is first at which weights.
type trianglePlain struct {
	list    []recommend.Priority
	need    recommend.Need
	letters map[string]string
}

// Lines draws the weight triangle: a letter for who is first there, an
// asterisk for the owner's weights.
func (t trianglePlain) Lines(int) []string {
	list, n, letters := t.list, t.need, t.letters
	var lines []string
	ownRow := int(math.Round((1 - n.Weights.Output) * (triangleRows - 1)))
	for row := range triangleRows {
		output := 1 - float64(row)/(triangleRows-1)
		cells := make([]string, row+1)
		for i := range cells {
			w := recommend.Weights{Output: output, Pattern: 1 - output}
			if row > 0 {
				w.Heat = (1 - output) * float64(i) / float64(row)
				w.Pattern = 1 - output - w.Heat
			}
			cells[i] = cellOf(list, w, letters)
		}
		if row == ownRow {
			own := 0
			if rest := n.Weights.Pattern + n.Weights.Heat; rest > 0 {
				own = int(math.Round(n.Weights.Heat / rest * float64(row)))
			}
			cells[own] = "*"
		}
		lines = append(lines, strings.Repeat(" ", triangleRows-1-row)+strings.Join(cells, " "))
	}
	lines[0] += " all weight on light"
	last := len(lines) - 1
	return append(lines, "pattern"+strings.Repeat(" ", columns(lines[last])-len("patternheat"))+"heat")
}

// cellOf is the letter of who is first at some weights; a dot where that is not
// known.
func cellOf(list []recommend.Priority, w recommend.Weights, letters map[string]string) string {
	for i, p := range list {
		if p.First > 0 && inside(p.Corners, w) {
			return priorityLetter(p, i, letters)
		}
	}
	return "."
}

// priorityLetter is the letter of a bulb: the one it has elsewhere on the page,
// else that of its place.
func priorityLetter(p recommend.Priority, i int, letters map[string]string) string {
	if mark := letters[p.Bulb]; mark != "" {
		return mark
	}
	return letter(i)
}

// priorityTable is who is first over how much of all weights, at which ranks, and
// the weights of its typical buyer.
func priorityTable(list []recommend.Priority, size string, letters map[string]string) Table {
	t := Table{Head: []string{"", "bulb", "first", "second", "third", "typical light/pattern/heat"}, Shrink: 1}
	for i, p := range list {
		mark := letters[p.Bulb]
		if p.First > 0 {
			mark = priorityLetter(p, i, letters)
		}
		ranks := []string{shareText(p.First), "–", "–"}
		for r := 1; r < min(3, len(p.Ranks)); r++ {
			ranks[r] = shareText(p.Ranks[r])
		}
		typical := ""
		if w := p.Central; p.First > 0 {
			typical = fmt.Sprintf("%s / %s / %s", share(w.Output), share(w.Pattern), share(w.Heat))
		} else if p.Below != "" {
			typical = "never ahead of " + nameOf(list, p.Below, size)
		}
		t.add(mark, priorityName(p, size), ranks[0], ranks[1], ranks[2], typical)
	}
	return t
}

func nameOf(list []recommend.Priority, id, size string) string {
	for _, p := range list {
		if p.Bulb == id {
			return priorityName(p, size)
		}
	}
	return id
}

// weightText is a weight in percent, with a decimal where it has one.
func weightText(w float64) string {
	return strings.TrimSuffix(fixed(100*w, 1), ".0") + " %"
}

// Lines draws the warm-ups: the letter of each curve, an equals sign for stock.
func (w *warmUp) Lines(width int) []string {
	const rows = 14
	wide := min(width-chartLabel, 64)
	if len(w.series) == 0 || wide < leastColumn {
		return nil
	}
	end := w.end()
	low, high := 1.0, 1.0
	for _, s := range w.series {
		for i := range wide {
			if e, ok := s.curve.At(end * float64(i) / float64(wide-1)); ok {
				low, high = min(low, e.Lux/s.lux), max(high, e.Lux/s.lux)
			}
		}
		for _, r := range s.readings {
			low, high = min(low, r.Lux/s.lux), max(high, r.Lux/s.lux)
		}
	}
	high = max(high, low+0.05)
	g := newGrid(wide, rows, end, low, high)
	for _, at := range g.at() {
		g.put(at, 1, markStock)
	}
	for _, s := range w.series {
		mark := []rune(s.name)[0]
		for _, at := range g.at() {
			if e, ok := s.curve.At(at); ok {
				g.put(at, e.Lux/s.lux, mark)
			}
		}
		for _, r := range s.readings {
			g.put(r.AtMin, r.Lux/s.lux, mark)
		}
	}
	lines := g.lines(func(times float64) string { return fixed(times, 2) }, 0, rows-1)
	indent := strings.Repeat(" ", chartLabel)
	return append(lines, plaintext.Hang(indent, indent, "times stock, 0 to "+significant(end, 3)+" min lit; = the halogen", width)...)
}

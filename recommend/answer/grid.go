package answer

import (
	"math"
	"strings"
)

// grid is a chart in plain characters: columns over minutes, rows over a value.
type grid struct {
	cells     [][]rune
	end       float64 // minutes at the right edge, above 0
	low, high float64 // values of the lowest and the highest row
}

const (
	chartLabel  = 7 // columns of the figures at the left, with the blank behind them
	leastColumn = 20
)

func newGrid(columns, rows int, end, low, high float64) *grid {
	g := &grid{make([][]rune, rows), end, low, high}
	for i := range g.cells {
		g.cells[i] = []rune(strings.Repeat(" ", columns))
	}
	return g
}

// put marks a value; what is outside is left out.
func (g *grid) put(minutes, value float64, mark rune) {
	x := int(math.Round(minutes / g.end * float64(len(g.cells[0])-1)))
	y := int(math.Round((g.high - value) / (g.high - g.low) * float64(len(g.cells)-1)))
	if y >= 0 && y < len(g.cells) && x >= 0 && x < len(g.cells[y]) {
		g.cells[y][x] = mark
	}
}

// at is the time of each column.
func (g *grid) at() []float64 {
	times := make([]float64, len(g.cells[0]))
	for i := range times {
		times[i] = g.end * float64(i) / float64(len(times)-1)
	}
	return times
}

// lines are the rows with figures beside those that are named.
func (g *grid) lines(figure func(value float64) string, rows ...int) []string {
	labels := make([]string, len(g.cells))
	for _, i := range rows {
		labels[i] = figure(g.high - (g.high-g.low)*float64(i)/float64(len(g.cells)-1))
	}
	lines := make([]string, len(g.cells), len(g.cells)+2)
	for i, cells := range g.cells {
		label := strings.Repeat(" ", max(0, chartLabel-1-columns(labels[i]))) + labels[i]
		lines[i] = strings.TrimRight(label+" "+string(cells), " ")
	}
	return lines
}

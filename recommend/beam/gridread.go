package beam

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"stillbright/data"
)

// metresPer gives the length units of wall positions.
var metresPer = map[string]float64{"mm": 0.001, "cm": 0.01, "m": 1, "in": 0.0254, "ft": 0.3048}

// ReadGrid reads a lux grid as text.
//
// Long form: a header and one line a value, columns in any order, lines in any
// order: h_deg,v_deg,lux or h_deg,v_deg,cd, or positions on a flat wall from the
// axis, x_mm,y_mm,lux (mm, cm, m, in or ft). Other columns are ignored.
//
// Matrix form: the first line holds the unit (and the unit of the places, deg if
// unsaid) and then the h values; each other line a v value and its row:
//
//	lux deg, -2, 0, 2
//	-1, 10, 20, 10
//
// A first cell that names h (or x) before v (or y) has the rows the other way.
// Commas, semicolons or tabs part the cells; with the last two a decimal comma is
// read. '#' starts a comment. distanceM is needed for wall positions (metres,
// 0 if not known). Errors name the line. Refused: values not finite or negative,
// angles beyond the sphere, duplicates, fewer than two rows or columns, more than
// MaxGridBytes or MaxGridPoints; ErrNoDistance where a distance is needed.
func ReadGrid(r io.Reader, distanceM float64) (Measured, error) {
	if !(distanceM >= 0 && distanceM <= 1000) {
		return Measured{}, fmt.Errorf("distance %g m: must be from 0 to 1000 m", distanceM)
	}
	text, err := readBounded(r)
	if err != nil {
		return Measured{}, err
	}
	rows, sep := cells(text)
	if len(rows) < 2 {
		return Measured{}, fmt.Errorf("a header and at least two rows of values are needed")
	}
	p := gridParser{comma: sep != ',', distance: distanceM}
	if columns, ok := p.header(rows[0].cells); ok {
		err = p.long(columns, rows[1:])
	} else {
		err = p.matrix(rows)
	}
	if err != nil {
		return Measured{}, err
	}
	return assemble(p.points, p.wall, p.unit, distanceM)
}

func readBounded(r io.Reader) ([]byte, error) {
	text, err := io.ReadAll(io.LimitReader(r, MaxGridBytes+1))
	if err != nil {
		return nil, fmt.Errorf("reading the grid: %w", err)
	}
	if len(text) > MaxGridBytes {
		return nil, fmt.Errorf("more than %d bytes: too big for a grid", MaxGridBytes)
	}
	return bytes.TrimPrefix(text, []byte("\ufeff")), nil
}

type textRow struct {
	line  int
	cells []string
	at    []int // column of the text at which each cell begins, from 1
}

// place names a cell in an error.
func (r textRow) place(cell int) string {
	return fmt.Sprintf("line %d, column %d", r.line, r.at[cell])
}

// ErrNoDistance says that a grid of places on a wall was read without the
// distance from the lamp to the wall.
var ErrNoDistance = errors.New("positions on a wall need the distance from the lamp to the wall")

// cells splits the text into rows without comments and blanks.
func cells(text []byte) (rows []textRow, separator rune) {
	text = bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n"))
	text = bytes.ReplaceAll(text, []byte("\r"), []byte("\n"))
	var lines []string
	var numbers []int
	for i, line := range strings.Split(string(text), "\n") {
		line, _, _ = strings.Cut(line, "#")
		if strings.TrimSpace(line) != "" {
			lines, numbers = append(lines, strings.TrimRight(line, " \t")), append(numbers, i+1)
		}
	}
	separator, _ = data.Separator(lines)
	for i, line := range lines {
		row := textRow{line: numbers[i]}
		parts := data.CutLine(line, separator)
		for len(parts) > 1 && parts[len(parts)-1].Text == "" {
			parts = parts[:len(parts)-1] // a separator at the end of the line
		}
		for _, c := range parts {
			row.cells, row.at = append(row.cells, c.Text), append(row.at, c.Col)
		}
		rows = append(rows, row)
	}
	return rows, separator
}

type gridParser struct {
	comma    bool
	distance float64
	points   []placed
	wall     bool
	unit     string
	scale    float64 // metres per unit of a wall position
}

type longColumns struct{ x, y, value int }

// header reads the header of the long form; ok is false when it is none.
func (p *gridParser) header(names []string) (longColumns, bool) {
	c := longColumns{-1, -1, -1}
	for i, name := range names {
		name = strings.ToLower(strings.ReplaceAll(name, " ", "_"))
		base, unit, _ := strings.Cut(name, "_")
		switch {
		case (base == "h" || base == "v") && (unit == "" || unit == "deg"):
			c.set(base == "h", i)
		case (base == "x" || base == "y") && metresPer[unit] > 0:
			if p.scale != 0 && p.scale != metresPer[unit] {
				return c, false
			}
			p.scale, p.wall = metresPer[unit], true
			c.set(base == "x", i)
		case name == "lux" || name == "lx":
			c.value, p.unit = i, Lux
		case name == "cd" || name == "candela":
			c.value, p.unit = i, Candela
		}
	}
	return c, c.x >= 0 && c.y >= 0 && c.value >= 0
}

func (c *longColumns) set(horizontal bool, i int) {
	if horizontal {
		c.x = i
	} else {
		c.y = i
	}
}

func (p *gridParser) long(c longColumns, rows []textRow) error {
	if err := p.needDistance(); err != nil {
		return err
	}
	for _, row := range rows {
		if last := max(c.x, c.y, c.value); last >= len(row.cells) {
			return fmt.Errorf("line %d: %d cells: at least %d are needed", row.line, len(row.cells), last+1)
		}
		x, err := p.number(row, c.x)
		if err != nil {
			return err
		}
		y, err := p.number(row, c.y)
		if err != nil {
			return err
		}
		if err := p.add(row, c.value, x, y); err != nil {
			return err
		}
	}
	return nil
}

func (p *gridParser) matrix(rows []textRow) error {
	head := rows[0]
	if len(head.cells) < 2 {
		return fmt.Errorf("line %d: %q: a header such as h_deg,v_deg,lux is needed, or a matrix whose first cell says lux or cd", head.line, head.cells[0])
	}
	swapped, err := p.corner(head)
	if err != nil {
		return err
	}
	if err := p.needDistance(); err != nil {
		return err
	}
	across := make([]float64, len(head.cells))
	for i := 1; i < len(head.cells); i++ {
		if across[i], err = p.number(head, i); err != nil {
			return err
		}
	}
	for _, row := range rows[1:] {
		if len(row.cells) != len(head.cells) {
			return fmt.Errorf("line %d: %d cells: the first line has %d", row.line, len(row.cells), len(head.cells))
		}
		down, err := p.number(row, 0)
		if err != nil {
			return err
		}
		for i := 1; i < len(row.cells); i++ {
			x, y := across[i], down
			if swapped {
				x, y = y, x
			}
			if err := p.add(row, i, x, y); err != nil {
				return err
			}
		}
	}
	return nil
}

// corner reads the first cell of a matrix.
func (p *gridParser) corner(head textRow) (swapped bool, err error) {
	words := strings.FieldsFunc(strings.ToLower(head.cells[0]), func(r rune) bool { return r < 'a' || r > 'z' })
	axes := ""
	p.unit, p.scale = "", 0
	places := ""
	for _, word := range words {
		switch {
		case word == "lux" || word == "lx":
			p.unit = Lux
		case word == "cd" || word == "candela":
			p.unit = Candela
		case word == "h" || word == "x":
			axes += "h"
		case word == "v" || word == "y":
			axes += "v"
		case word == "deg" || metresPer[word] > 0:
			if places != "" && places != word {
				return false, fmt.Errorf("line %d: %q: %s and %s cannot be used together", head.line, head.cells[0], places, word)
			}
			places = word
		}
	}
	if p.unit == "" {
		return false, fmt.Errorf("line %d: %q: a header such as h_deg,v_deg,lux is needed, or a matrix whose first cell says lux or cd", head.line, head.cells[0])
	}
	p.scale = metresPer[places]
	p.wall = p.scale > 0
	return strings.HasPrefix(axes, "h"), nil
}

func (p *gridParser) needDistance() error {
	if p.wall && p.distance <= 0 {
		return ErrNoDistance
	}
	return nil
}

func (p *gridParser) add(row textRow, column int, x, y float64) error {
	value, err := p.number(row, column)
	if err != nil {
		return err
	}
	if value < 0 || value > 1e9 {
		return fmt.Errorf("%s: %g %s: must be from 0 to 1e9", row.place(column), value, p.unit)
	}
	if p.wall {
		x, y = x*p.scale, y*p.scale
		if math.Hypot(x, y) > 20*p.distance {
			return fmt.Errorf("line %d: %.4g m from the axis: more than 20 times the distance", row.line, math.Hypot(x, y))
		}
	} else if err := onSphere(x, y); err != nil {
		return fmt.Errorf("line %d: %w", row.line, err)
	}
	if len(p.points) >= MaxGridPoints {
		return fmt.Errorf("line %d: more than %d values", row.line, MaxGridPoints)
	}
	p.points = append(p.points, placed{x, y, value, row.line})
	return nil
}

func onSphere(h, v float64) error {
	if math.Abs(h) > 180 || math.Abs(v) > 90 {
		return fmt.Errorf("h %g, v %g: beyond the sphere, h must be in [-180, 180] and v in [-90, 90]", h, v)
	}
	return nil
}

// number reads a plain decimal number: no hexadecimal, no words such as inf.
func (p *gridParser) number(row textRow, column int) (float64, error) {
	s := row.cells[column]
	if p.comma {
		s = strings.Replace(s, ",", ".", 1)
	}
	v, err := plainNumber(s)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", row.place(column), err)
	}
	return v, nil
}

func plainNumber(s string) (float64, error) {
	if s == "" || strings.Trim(s, "0123456789+-.eE") != "" {
		return 0, fmt.Errorf("%.40q: not a number", s)
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
		return 0, fmt.Errorf("%.40q: not a finite number", s)
	}
	return v + 0, nil // -0 and 0 are one place
}

package sheet

// turn exchanges rows and columns; lines are those of the rows before. Nothing
// is returned for a table that is too long to have bulbs in its columns.
func turn(t Table) (Table, []int) {
	width := 0
	for _, row := range t.Rows {
		width = max(width, len(row.Cells))
	}
	if len(t.Rows) > 200 || width < 2 {
		return Table{}, nil
	}
	other := t
	other.Rows = nil
	var lines []int
	for _, row := range t.Rows {
		lines = append(lines, row.Line)
	}
	for i := range width {
		cells := make([]string, len(t.Rows))
		for k, row := range t.Rows {
			cells[k] = row.cell(i)
		}
		if cells = trimmedCells(cells); len(cells) > 0 {
			other.Rows = append(other.Rows, TableRow{i + 1, cells})
		}
	}
	return other, lines
}

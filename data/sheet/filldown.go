package sheet

import "slices"

// bulbNamed is the bulb a row names, empty where its cell is blank; has says
// whether there is a column for it.
func (p *interpreter) bulbNamed(row TableRow) (name string, has bool) {
	for i, c := range p.m.Columns {
		if c.Means != "name" {
			continue
		}
		has = true
		if cell := unguard(row.cell(i)); !isBlankCell(cell) {
			return cell, true
		}
	}
	return "", has
}

// Columns that are blank where they are as above: always, and in a row that goes
// on with the bulb above.
var (
	filledAlways  = []string{"name", "id", "size", "date"}
	filledOfABulb = []string{meansHousing, "rig", "beam", "lot"}
)

// filledDown is a cell, or what stands above it where it is blank.
func (p *interpreter) filledDown(means, text string, otherBulb, sameBulb bool) string {
	always := slices.Contains(filledAlways, means)
	if !always && !slices.Contains(filledOfABulb, means) {
		return text
	}
	if isBlankCell(text) && (always || sameBulb) && !(otherBulb && means == "id") {
		text = p.above[means]
	}
	p.above[means] = text
	return text
}

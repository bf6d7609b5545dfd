package sheet

import "slices"

// anotherBulb says whether a row names another bulb than the one above, whose id
// is then not its own.
func (p *interpreter) anotherBulb(row TableRow) bool {
	for i, c := range p.m.Columns {
		if name := unguard(row.cell(i)); c.Means == "name" && !isBlankCell(name) {
			return !sameName(name, p.above["name"])
		}
	}
	return false
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

// namesNoBulb says whether a row goes on with the bulb above.
func (p *interpreter) namesNoBulb(row TableRow) bool {
	for i, c := range p.m.Columns {
		if c.Means == "name" && isBlankCell(unguard(row.cell(i))) {
			return true
		}
	}
	return false
}

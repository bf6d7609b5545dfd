package invented

import (
	"strconv"

	"stillbright/data"
)

// Table is the catalog as one table, a row for each test: the head, then the
// rows in the order of the catalog. What is not known is an empty cell.
func Table(c *data.Catalog) [][]string {
	head := []string{"bulb", "name", "model", "kind", "size", "price", "currency", "per", "lot", "bought", "rig", "rig_size", "housing", "beam", "date",
		"volts", "stock_first", "stock_last", "stock_volts"}
	for _, minute := range minutes {
		head = append(head, "lux_"+strconv.FormatFloat(minute, 'f', -1, 64))
	}
	head = append(head, "cap", "ambient", "body", "surface", "fold_back", "watts", "seatings", "spread", "samples", "sharpness", "hot_spot", "dark", "width", "stray_vs_stock")
	rows := [][]string{head}
	for _, b := range c.Bulbs {
		for _, lot := range b.Lots {
			for _, test := range lot.Tests {
				rows = append(rows, row(c, &b, &lot, &test))
			}
		}
	}
	return rows
}

func row(c *data.Catalog, b *data.Bulb, lot *data.Lot, t *data.Test) []string {
	rig, _ := c.Rig(t.Rig)
	cells := []string{b.ID, b.Name, b.Model, b.Kind, b.Size, number(&b.Price.Amount), b.Price.Currency, b.Per, lot.Name, string(lot.Bought), t.Rig, rig.Size, rig.Housing, rig.Beam,
		string(t.Date), number(t.Volts), number(t.Stock.First), number(t.Stock.Last), number(t.Stock.Volts)}
	for _, minute := range minutes {
		cell := ""
		for _, reading := range t.Readings {
			if reading.At == minute {
				cell = number(&reading.Lux)
			}
		}
		cells = append(cells, cell)
	}
	cells = append(cells, t.Cap, number(t.Ambient), number(t.Body), t.Surface, t.FoldBack, number(t.Watts), strconv.Itoa(t.Seatings), number(t.Spread), strconv.Itoa(t.Samples))
	if pattern := t.Pattern; pattern != nil {
		return append(cells, number(pattern.Parts.Sharpness), number(pattern.Parts.HotSpot), number(pattern.Parts.Dark), number(pattern.Parts.Width), number(pattern.StrayVsStock))
	}
	return append(cells, "", "", "", "", "")
}

func number(value *float64) string {
	if value == nil {
		return ""
	}
	return strconv.FormatFloat(*value, 'f', -1, 64)
}

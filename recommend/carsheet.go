package recommend

import "stillbright/data"

// CarSheet is the document of `car show`.
type CarSheet struct {
	Schema  string      `json:"schema" enum:"stillbright/car/1" doc:"document and version"`
	Car     string      `json:"car" doc:"id"`
	Name    string      `json:"name" doc:"what its owner calls it"`
	Facts   []Fact      `json:"facts" doc:"what is known of the car"`
	Lamps   []LampSheet `json:"lamps" doc:"its lamps"`
	Notes   []string    `json:"notes" doc:"notes"`
	Source  string      `json:"source" doc:"who measured"`
	Catalog CatalogLine `json:"catalog" doc:"where the record comes from"`
}

// LampSheet is one lamp: what is known, and what is not.
type LampSheet struct {
	Size    string   `json:"size" doc:"bulb size"`
	Beam    string   `json:"beam" enum:"low|high|fog|both" doc:"what the lamp does"`
	Facts   []Fact   `json:"facts" doc:"what is known"`
	Unknown []string `json:"unknown" doc:"keys of the record that are not known"`
}

// CarSheetOf makes the sheet of a car.
func CarSheetOf(car data.Car, c *data.Catalog) CarSheet {
	sheet := CarSheet{
		Schema: "stillbright/car/1", Car: car.ID, Name: car.Name, Lamps: []LampSheet{}, Notes: list(car.Notes),
		Source: car.Source, Catalog: CatalogLine{c.Name, c.Invented},
	}
	facts := factList{}
	facts.word("where", car.Where)
	facts.word("climate", car.Climate)
	facts.number("volts", car.Volts, "V")
	facts.truth("canbus", car.Canbus)
	facts.word("load", car.Load)
	sheet.Facts = facts.known()
	for _, lamp := range car.Lamps {
		f := factList{}
		f.word("housing", lamp.Housing)
		f.word("technology", lamp.Technology)
		f.number("rear_clearance", lamp.Rear, "mm")
		f.number("rear_open", lamp.RearOpen, "mm")
		f.word("cap", lamp.Cap)
		f.number("cap_diameter", lamp.CapDia, "mm")
		f.number("front_clearance", lamp.Front, "mm")
		f.number("hole", lamp.Hole, "mm")
		f.word("retention", lamp.Retention)
		f.word("feed", lamp.Feed)
		f.word("polarity", lamp.Polarity)
		f.number("bulb_out_current", lamp.BulbOutA, "A")
		f.number("height", lamp.Height, "mm")
		f.number("dip", lamp.Dip, "%")
		f.word("marking", lamp.Marking)
		sheet.Lamps = append(sheet.Lamps, LampSheet{Size: lamp.Size, Beam: lamp.Beam, Facts: f.known(), Unknown: list(f.unknown)})
	}
	return sheet
}

package sheets

import (
	"stillbright/data"
	"stillbright/recommend"
)

// CarSheet is the document of `car show`.
type CarSheet struct {
	Schema  string                `json:"schema" enum:"stillbright/car/1" doc:"document and version"`
	Car     string                `json:"car" doc:"id"`
	Name    string                `json:"name" doc:"what its owner calls it"`
	Facts   []data.Recorded       `json:"facts" doc:"what is known of the car"`
	Lamps   []LampSheet           `json:"lamps" doc:"its lamps"`
	Notes   []string              `json:"notes" doc:"notes"`
	Source  string                `json:"source" doc:"who measured"`
	Catalog recommend.CatalogLine `json:"catalog" doc:"where the record comes from"`
}

// LampSheet is one lamp: what is known, and what is not.
type LampSheet struct {
	Size    string          `json:"size" doc:"bulb size"`
	Beam    string          `json:"beam" enum:"low|high|fog|both" doc:"what the lamp does"`
	Facts   []data.Recorded `json:"facts" doc:"what is known"`
	Unknown []string        `json:"unknown" doc:"keys of the record that are not known"`
	Notes   []string        `json:"notes" doc:"notes"`
}

// CarSheetOf makes the sheet of a car.
func CarSheetOf(car data.Car, c *data.Catalog) CarSheet {
	sheet := CarSheet{
		Schema: "stillbright/car/1", Car: car.ID, Name: car.Name, Lamps: []LampSheet{}, Notes: recommend.NeverNil(car.Notes),
		Source: car.Source, Catalog: recommend.CatalogLine{Name: c.Name, Invented: c.Invented},
	}
	sheet.Facts = recorded("car", car, "car.format", "car.id", "car.name", "car.lamps", "car.source", "car.notes")
	for _, lamp := range car.Lamps {
		known, unknown := data.Shown("lamp", lamp, "lamp.size", "lamp.beam", "lamp.notes")
		sheet.Lamps = append(sheet.Lamps, LampSheet{Size: lamp.Size, Beam: lamp.Beam, Facts: known, Unknown: unknown, Notes: recommend.NeverNil(lamp.Notes)})
	}
	return sheet
}

package sheets

import (
	"stillbright/data"
	"stillbright/recommend"
)

// BulbList is the document of `catalog list`.
type BulbList struct {
	Schema  string                `json:"schema" enum:"stillbright/bulbs/1" doc:"document and version"`
	Bulbs   []BulbRow             `json:"bulbs" doc:"the bulbs, by id"`
	Catalog recommend.CatalogLine `json:"catalog" doc:"where the records come from"`
}

// BulbRow is one bulb in a list.
type BulbRow struct {
	Bulb  string           `json:"bulb" doc:"id"`
	Name  string           `json:"name" doc:"name as sold"`
	Kind  string           `json:"kind" enum:"led|halogen" doc:"kind of bulb"`
	Size  string           `json:"size" doc:"bulb size"`
	Also  []string         `json:"also_fits" doc:"other sizes its base is sold for"`
	Tests int              `json:"tests" doc:"tests on record"`
	Price *recommend.Price `json:"price" doc:"price as recorded"`
}

// BulbListOf lists the bulbs of a catalog; an empty size lists all.
func BulbListOf(c *data.Catalog, size string) BulbList {
	all := BulbList{Schema: "stillbright/bulbs/1", Bulbs: []BulbRow{}, Catalog: recommend.CatalogLine{Name: c.Name, Invented: c.Invented}}
	for _, b := range c.Bulbs {
		if size != "" && b.Size != size {
			continue
		}
		tests := 0
		for _, lot := range b.Lots {
			tests += len(lot.Tests)
		}
		all.Bulbs = append(all.Bulbs, BulbRow{b.ID, b.Name, b.Kind, b.Size, recommend.NeverNil(b.AlsoFits), tests, recordedPrice(b)})
	}
	return all
}

// recordedPrice is the price as it stands in the record; one that does not say
// what it buys is taken for one bulb.
func recordedPrice(b data.Bulb) *recommend.Price {
	if b.Per == "pair" {
		return recommend.PriceOf(&b, "pair")
	}
	return recommend.PriceOf(&b, "each")
}

// CarList is the document of `car list`.
type CarList struct {
	Schema  string                `json:"schema" enum:"stillbright/cars/1" doc:"document and version"`
	Cars    []CarRow              `json:"cars" doc:"the cars, by id"`
	Catalog recommend.CatalogLine `json:"catalog" doc:"where the records come from"`
}

// CarRow is one car in a list.
type CarRow struct {
	Car   string         `json:"car" doc:"id"`
	Name  string         `json:"name" doc:"what its owner calls it"`
	Where recommend.Word `json:"where" doc:"place whose rules apply"`
	Lamps []LampRow      `json:"lamps" doc:"its lamps"`
}

// LampRow is one lamp of a car.
type LampRow struct {
	Size    string         `json:"size" doc:"bulb size"`
	Beam    string         `json:"beam" enum:"low|high|fog|both" doc:"what the lamp does"`
	Housing recommend.Word `json:"housing" enum:"projector|reflector" doc:"projector or reflector"`
}

// CarListOf lists the cars of a catalog.
func CarListOf(c *data.Catalog) CarList {
	all := CarList{Schema: "stillbright/cars/1", Cars: []CarRow{}, Catalog: recommend.CatalogLine{Name: c.Name, Invented: c.Invented}}
	for _, car := range c.Cars {
		row := CarRow{car.ID, car.Name, recommend.Word(car.Where), []LampRow{}}
		for _, lamp := range car.Lamps {
			row.Lamps = append(row.Lamps, LampRow{lamp.Size, lamp.Beam, recommend.Word(lamp.Housing)})
		}
		all.Cars = append(all.Cars, row)
	}
	return all
}

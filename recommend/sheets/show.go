package sheets

import (
	"stillbright/data"
	"stillbright/recommend"
	"stillbright/recommend/warmup"
)

// ShowSheet is the document of `show`: one bulb's test sheet.
type ShowSheet struct {
	Schema   string                `json:"schema" enum:"stillbright/show/1" doc:"document and version"`
	Bulb     string                `json:"bulb" doc:"id"`
	Name     string                `json:"name" doc:"name as sold"`
	Kind     string                `json:"kind" enum:"led|halogen" doc:"kind of bulb"`
	Size     string                `json:"size" doc:"bulb size"`
	AlsoFits []string              `json:"also_fits" doc:"other sizes its base is sold for"`
	Price    *recommend.Price      `json:"price" doc:"price as recorded"`
	Build    []data.Recorded       `json:"build" doc:"what is recorded of the bulb beside that"`
	Claims   []recommend.ClaimLine `json:"claims" doc:"what the pack says against what is possible and what was measured"`
	Lots     []LotSheet            `json:"lots" doc:"newest first; the newest speaks for the bulb"`
	Notes    []string              `json:"notes" doc:"notes of the tester"`
	Source   string                `json:"source" doc:"who measured"`
	Catalog  recommend.CatalogLine `json:"catalog" doc:"where the records come from"`
}

// LotSheet is one lot.
type LotSheet struct {
	Lot    string         `json:"lot" doc:"name of the lot"`
	Bought recommend.Word `json:"bought" doc:"day it was bought"`
	Newest bool           `json:"newest" doc:"the lot that speaks for the bulb"`
	Tests  []TestSheet    `json:"tests" doc:"its tests"`
}

// TestSheet is one test, reduced to figures.
type TestSheet struct {
	Rig      string                  `json:"rig" doc:"id of the rig"`
	RigName  string                  `json:"rig_name" doc:"what the rig is"`
	RigSize  string                  `json:"rig_size" doc:"bulb size of the rig"`
	Housing  string                  `json:"housing" enum:"projector|reflector" doc:"projector or reflector"`
	Beam     string                  `json:"beam" enum:"low|high|fog|both" doc:"what was lit"`
	Date     string                  `json:"date" doc:"day of the test"`
	Readings []recommend.ReadingLine `json:"readings" doc:"lux against minutes lit"`
	Figures  *warmup.Figures         `json:"figures" doc:"figures at the end of the trip"`
	Hot      recommend.Hot           `json:"hot" doc:"light at the end of the trip, against stock"`
	StockLux []float64               `json:"stock_lux" doc:"stock readings, first and last"`
	Pattern  recommend.Band          `json:"pattern" doc:"pattern score"`
	Glare    recommend.Glare         `json:"glare" doc:"the glare gate"`
	Reach    recommend.Reach         `json:"reach" doc:"what its light means on the road, in that lamp"`
	Heat     *float64                `json:"heat" min:"0" max:"1" doc:"heat value in a mild climate"`
	BodyC    *float64                `json:"body_c" doc:"body temperature on the bench"`
	FoldBack recommend.Word          `json:"fold_back" doc:"whether the driver was seen cutting power"`
	WattsHot *float64                `json:"watts_hot" doc:"measured power, hot"`
	Facts    []data.Recorded         `json:"facts" doc:"what is recorded of the test"`
	RigFacts []data.Recorded         `json:"rig_facts" doc:"what is recorded of the rig"`
	Missing  []recommend.Missing     `json:"missing" doc:"facts that are missing"`
	Notes    []string                `json:"notes" doc:"notes of the tester"`
	Candela  []data.BeamPoint        `json:"-"` // the beam, direction by direction, for drawing
	Errors   []recommend.ErrorPart   `json:"-"`
	Curve    *warmup.Figures         `json:"-"`
}

// Show makes the test sheet of a bulb. tripMin is when the light is judged.
func Show(k *recommend.Knowledge, c *data.Catalog, bulb data.Bulb, tripMin float64) ShowSheet {
	newest, _ := recommend.NewestLot(&bulb)
	sheet := ShowSheet{
		Schema: "stillbright/show/1", Bulb: bulb.ID, Name: bulb.Name, Kind: bulb.Kind, Size: bulb.Size, AlsoFits: recommend.NeverNil(bulb.AlsoFits),
		Price: recordedPrice(bulb), Build: recorded("bulb", bulb, "bulb.format", "bulb.id", "bulb.name", "bulb.kind", "bulb.size", "bulb.also_fits", "bulb.price", "bulb.per", "bulb.lots", "bulb.source", "bulb.notes"), Claims: recommend.ClaimLines(k, bulb), Lots: []LotSheet{},
		Notes: recommend.NeverNil(bulb.Notes), Source: bulb.Source, Catalog: recommend.CatalogLine{Name: c.Name, Invented: c.Invented},
	}
	bench := recommend.NewBench(k, c, tripMin)
	for _, lot := range recommend.LotsNewestFirst(&bulb) {
		lotSheet := LotSheet{Lot: lot.Name, Bought: recommend.Word(lot.Bought), Newest: lot.Name == newest, Tests: []TestSheet{}}
		for i := range lot.Tests {
			if seen, ok := bench.See(&bulb, &lot, &lot.Tests[i]); ok {
				lotSheet.Tests = append(lotSheet.Tests, testSheet(bulb.Kind, &lot.Tests[i], seen))
			}
		}
		sheet.Lots = append(sheet.Lots, lotSheet)
	}
	return sheet
}

// testSheet is what a decision sees in a test, beside what is recorded of it.
func testSheet(kind string, test *data.Test, seen recommend.SeenTest) TestSheet {
	rig := seen.Rig
	sheet := TestSheet{
		Rig: rig.ID, RigName: rig.Name, RigSize: rig.Size, Housing: rig.Housing, Beam: seen.Beam, Date: string(test.Date),
		Readings: []recommend.ReadingLine{}, Figures: seen.Figures, Hot: seen.Hot, StockLux: recommend.Known(test.Stock.First, test.Stock.Last),
		Pattern: seen.Pattern, Glare: seen.Glare, Reach: seen.Reach, BodyC: test.Body, FoldBack: recommend.Word(test.FoldBack), WattsHot: seen.WattsHot,
		Missing: seen.Missing, Notes: recommend.NeverNil(test.Notes),
		Facts:    recorded("test", *test, "test.rig", "test.date", "test.readings", "test.notes", "test.pattern.candela"),
		RigFacts: recorded("rig", *rig, "rig.format", "rig.id", "rig.size", "rig.housing", "rig.stock_pattern.candela"), Errors: seen.Errors, Curve: seen.Figures,
	}
	if sheet.StockLux == nil {
		sheet.StockLux = []float64{}
	}
	if test.Pattern != nil {
		sheet.Candela = test.Pattern.Candela
	}
	for _, r := range test.Readings {
		sheet.Readings = append(sheet.Readings, recommend.ReadingLine{AtMin: r.At, Lux: r.Lux})
	}
	if kind == data.KindLED {
		sheet.Heat = &seen.Heat
	}
	return sheet
}

// recorded is what a record holds, but for what stands elsewhere on a sheet.
func recorded(name string, record any, but ...string) []data.Recorded {
	known, _ := data.Shown(name, record, but...)
	return known
}

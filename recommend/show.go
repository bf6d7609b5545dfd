package recommend

import (
	"stillbright/data"
	"stillbright/recommend/road"
	"stillbright/recommend/warmup"
)

// ShowSheet is the document of `show`: one bulb's test sheet.
type ShowSheet struct {
	Schema   string          `json:"schema" enum:"stillbright/show/1" doc:"document and version"`
	Bulb     string          `json:"bulb" doc:"id"`
	Name     string          `json:"name" doc:"name as sold"`
	Kind     string          `json:"kind" enum:"led|halogen" doc:"kind of bulb"`
	Size     string          `json:"size" doc:"bulb size"`
	AlsoFits []string        `json:"also_fits" doc:"other sizes its base is sold for"`
	Price    *Price          `json:"price" doc:"price as recorded"`
	Build    []data.Recorded `json:"build" doc:"what is recorded of the bulb beside that"`
	Claims   []ClaimLine     `json:"claims" doc:"what the pack says against what is possible and what was measured"`
	Lots     []LotSheet      `json:"lots" doc:"newest first; the newest speaks for the bulb"`
	Notes    []string        `json:"notes" doc:"notes of the tester"`
	Source   string          `json:"source" doc:"who measured"`
	Catalog  CatalogLine     `json:"catalog" doc:"where the records come from"`
}

// ClaimLine is one claim of the pack.
type ClaimLine struct {
	Claim   string   `json:"claim" doc:"what it is about"`
	Verdict string   `json:"verdict" doc:"what it is worth"`
	LmPerW  *float64 `json:"lm_per_w" doc:"lumens at watts, where it is about that"`
	Text    string   `json:"text" doc:"in words"`
	Assumed Word     `json:"assumed" doc:"what was taken for granted"`
	Source  Word     `json:"source" doc:"where the limit is from"`
}

// LotSheet is one lot.
type LotSheet struct {
	Lot    string      `json:"lot" doc:"name of the lot"`
	Bought Word        `json:"bought" doc:"day it was bought"`
	Newest bool        `json:"newest" doc:"the lot that speaks for the bulb"`
	Tests  []TestSheet `json:"tests" doc:"its tests"`
}

// TestSheet is one test, reduced to figures.
type TestSheet struct {
	Rig      string           `json:"rig" doc:"id of the rig"`
	RigName  string           `json:"rig_name" doc:"what the rig is"`
	RigSize  string           `json:"rig_size" doc:"bulb size of the rig"`
	Housing  string           `json:"housing" enum:"projector|reflector" doc:"projector or reflector"`
	Beam     string           `json:"beam" enum:"low|high|fog|both" doc:"what was lit"`
	Date     string           `json:"date" doc:"day of the test"`
	Readings []ReadingLine    `json:"readings" doc:"lux against minutes lit"`
	Figures  *warmup.Figures  `json:"figures" doc:"figures at the end of the trip"`
	Hot      Hot              `json:"hot" doc:"light at the end of the trip, against stock"`
	StockLux []float64        `json:"stock_lux" doc:"stock readings, first and last"`
	Pattern  Band             `json:"pattern" doc:"pattern score"`
	Glare    Glare            `json:"glare" doc:"the glare gate"`
	Reach    Reach            `json:"reach" doc:"what its light means on the road, in that lamp"`
	Heat     *float64         `json:"heat" min:"0" max:"1" doc:"heat value in a mild climate"`
	BodyC    *float64         `json:"body_c" doc:"body temperature on the bench"`
	WattsHot *float64         `json:"watts_hot" doc:"measured power, hot"`
	Facts    []data.Recorded  `json:"facts" doc:"what is recorded of the test"`
	RigFacts []data.Recorded  `json:"rig_facts" doc:"what is recorded of the rig"`
	Missing  []Missing        `json:"missing" doc:"facts that are missing"`
	Notes    []string         `json:"notes" doc:"notes of the tester"`
	Candela  []data.BeamPoint `json:"-"` // the beam, direction by direction, for drawing
	Errors   []ErrorPart      `json:"-"`
	Curve    *warmup.Figures  `json:"-"`
}

// ReadingLine is one reading.
type ReadingLine struct {
	AtMin float64 `json:"at_min" doc:"minutes lit"`
	Lux   float64 `json:"lux" doc:"reading"`
}

// Show makes the test sheet of a bulb. tripMin is when the light is judged.
func Show(k *Knowledge, c *data.Catalog, bulb data.Bulb, tripMin float64) ShowSheet {
	newest, _ := newestLot(&bulb)
	sheet := ShowSheet{
		Schema: "stillbright/show/1", Bulb: bulb.ID, Name: bulb.Name, Kind: bulb.Kind, Size: bulb.Size, AlsoFits: list(bulb.AlsoFits),
		Price: recordedPrice(bulb), Build: recorded("bulb", bulb, "bulb.format", "bulb.id", "bulb.name", "bulb.kind", "bulb.size", "bulb.also_fits", "bulb.price", "bulb.per", "bulb.lots", "bulb.source", "bulb.notes"), Claims: claimLines(k, bulb), Lots: []LotSheet{},
		Notes: list(bulb.Notes), Source: bulb.Source, Catalog: CatalogLine{c.Name, c.Invented},
	}
	if tripMin == 0 {
		tripMin = k.Rules.Choice.TripMin.Value
	}
	d := newWork(k, c, nil)
	d.bench = true
	for _, lot := range lotsNewestFirst(&bulb) {
		lotSheet := LotSheet{Lot: lot.Name, Bought: Word(lot.Bought), Newest: lot.Name == newest, Tests: []TestSheet{}}
		for i := range lot.Tests {
			if rig := d.index.rigs[lot.Tests[i].Rig]; rig != nil {
				lotSheet.Tests = append(lotSheet.Tests, d.showTest(tried{&bulb, &lot, &lot.Tests[i], rig}, tripMin))
			}
		}
		sheet.Lots = append(sheet.Lots, lotSheet)
	}
	return sheet
}

// showTest reduces one test as a decision would, in the rig's own lamp.
func (d *decision) showTest(t tried, tripMin float64) TestSheet {
	d.size, _ = data.SizeOf(d.know.Sizes, t.rig.Size)
	d.need = Need{Size: t.rig.Size, Beam: t.beam(), Housing: Word(t.rig.Housing), TripMin: tripMin}
	v := view{beam: t.beam(), housing: t.rig.Housing, evidence: evidence{grade: EvidenceLike, tests: []tried{t}}}
	d.seeGates(&v, t.bulb)
	d.lookOn(&v, t.bulb)
	seen := v
	figures := d.figuresOf(t)
	sheet := TestSheet{
		Rig: t.rig.ID, RigName: t.rig.Name, RigSize: t.rig.Size, Housing: t.rig.Housing, Beam: seen.beam, Date: string(t.test.Date),
		Readings: []ReadingLine{}, Figures: figures, Hot: seen.hot, StockLux: known(t.test.Stock.First, t.test.Stock.Last),
		Pattern: seen.pattern, Glare: seen.glare, BodyC: t.test.Body, WattsHot: seen.watts,
		Missing: unique(seen.missing), Notes: list(t.test.Notes),
		Facts:    recorded("test", *t.test, "test.rig", "test.date", "test.readings", "test.notes", "test.pattern.candela"),
		RigFacts: recorded("rig", *t.rig, "rig.format", "rig.id", "rig.size", "rig.housing", "rig.stock_pattern.candela"), Errors: seen.errors, Curve: figures,
	}
	if sheet.StockLux == nil {
		sheet.StockLux = []float64{}
	}
	if t.test.Pattern != nil {
		sheet.Candela = t.test.Pattern.Candela
	}
	for _, r := range t.test.Readings {
		sheet.Readings = append(sheet.Readings, ReadingLine{r.At, r.Lux})
	}
	sheet.Reach = ReachOf(d.know, d.need, factsOf(t.bulb.Kind, seen))
	if t.bulb.Kind == data.KindLED {
		heat := seen.heat
		sheet.Heat = &heat
	}
	return sheet
}

// recorded is what a record holds, but for what stands elsewhere on a sheet.
func recorded(name string, record any, but ...string) []data.Recorded {
	known, _ := data.Shown(name, record, but...)
	return known
}

// figuresOf reduces the readings of a test at the end of the trip, for the
// sheet and its curve; nil when they cannot be used.
func (d *decision) figuresOf(t tried) *figures {
	reduced, err := reduceReadings(readingsOf(t.test), d.need.TripMin, d.warmupOptions())
	if err != nil {
		return nil
	}
	return &reduced
}

func claimLines(k *Knowledge, bulb data.Bulb) []ClaimLine {
	lines := []ClaimLine{}
	watts := bulb.Supply.Watts
	for _, lot := range lotsNewestFirst(&bulb) {
		for _, test := range lot.Tests {
			watts = firstKnown(watts, test.Watts)
		}
	}
	for _, f := range road.Audit(road.ClaimInput{
		Lumens: bulb.Claims.Lumens, Watts: bulb.Claims.Watts, CCT: bulb.Claims.CCT, Per: bulb.Claims.Per,
		MeasuredWatts: watts, Ladder: k.Claims,
	}) {
		lines = append(lines, ClaimLine{f.Claim, f.Verdict, f.LmPerW, f.Text, Word(f.Assumed), Word(f.Source)})
	}
	return lines
}

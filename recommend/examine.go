package recommend

import (
	"stillbright/data"
	"stillbright/fitment"
	"stillbright/recommend/warmup"
)

// Examined is one bulb held against a need, whether a decision would rank it or
// set it aside.
type Examined struct {
	Need   Need // completed
	Report fitment.Report
	Reach  Reach
	Law    LawLine
	Safety []string // cautions that apply, heaviest first
}

// Examine looks at one bulb as Decide does: the same need gives the same checks.
// The only error is a *NeedError.
func Examine(k *Knowledge, c *data.Catalog, bulb *data.Bulb, need Need, opt Options) (Examined, error) {
	if need.Size == "" {
		need.Size = bulb.Size
	}
	technology := ""
	if need.Lamp != nil {
		technology = need.Lamp.Technology
	}
	n, size, _, err := completeFor(need, k, technology)
	if err != nil {
		return Examined{}, err
	}
	d := newWork(k, c, nil)
	d.need, d.size = n, size
	d.scale = outputScale(k.profiles(n.Driving))
	views := d.allViews(bulb, true)
	judged, _ := d.judge(bulb, true)
	seen := Examined{
		Need: n, Report: k.fitOf(bulb, n, size, allPatternsKnown(views), views[0].spreadPct), Reach: judged.Reach,
		Law: k.LawFor(n.Where, LawBeam(n.Beam), opt.Today),
	}
	seen.Safety, _ = d.cautions(seen.Law, judged)
	return seen, nil
}

// Bench looks at the tests of a catalog one by one, each in its own rig as if that
// were an owner's lamp.
type Bench struct {
	work    *decision
	tripMin float64
}

// SeenTest is what one test says at the end of the drive.
type SeenTest struct {
	Rig      *data.Rig
	Beam     string // what was lit
	Hot      Hot
	Pattern  Band
	Glare    Glare
	Reach    Reach
	Heat     float64 // value in a mild climate, 0 to 1
	WattsHot *float64
	Figures  *warmup.Figures // nil where the readings cannot be used
	Missing  []Missing
	Errors   []ErrorPart
}

// NewBench makes a bench for a catalog. The light is judged tripMin minutes after
// switch-on; 0 takes the drive that is assumed of owners who name none.
func NewBench(k *Knowledge, c *data.Catalog, tripMin float64) *Bench {
	if tripMin == 0 {
		tripMin = k.Rules.Choice.TripMin.Value
	}
	work := newWork(k, c, nil)
	work.bench = true
	return &Bench{work, tripMin}
}

// See reduces one test as a decision would. It is false where the rig of the test
// is not in the catalog.
func (b *Bench) See(bulb *data.Bulb, lot *data.Lot, test *data.Test) (SeenTest, bool) {
	d := b.work
	rig := d.index.rigs[test.Rig]
	if rig == nil {
		return SeenTest{}, false
	}
	t := tried{bulb, lot, test, rig}
	d.size, _ = data.SizeOf(d.know.Sizes, rig.Size)
	d.need = Need{Size: rig.Size, Beam: t.beam(), Housing: Word(rig.Housing), TripMin: b.tripMin}
	v := view{beam: t.beam(), housing: rig.Housing, evidence: evidence{grade: EvidenceLike, tests: []tried{t}}}
	d.seeGates(&v, bulb)
	d.lookOn(&v, bulb)
	return SeenTest{
		Rig: rig, Beam: v.beam, Hot: v.hot, Pattern: v.pattern, Glare: v.glare, Heat: v.heat, WattsHot: v.watts,
		Figures: d.figuresOf(t), Missing: unique(v.missing), Errors: v.errors,
		Reach: ReachOf(d.know, d.need, factsOf(bulb.Kind, v)),
	}, true
}

// figuresOf reduces the readings of a test at the end of the trip, for a sheet and
// its curve; nil when they cannot be used.
func (d *decision) figuresOf(t tried) *figures {
	reduced, err := reduceReadings(readingsOf(t.test), d.need.TripMin, d.know.WarmupOptions())
	if err != nil {
		return nil
	}
	return &reduced
}

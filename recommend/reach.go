package recommend

import (
	"math"

	"stillbright/data"
	"stillbright/recommend/road"
)

// Reach is what the light of a bulb means on the road. Metres stand only where
// the beam was measured direction by direction; with a hot-spot reading alone
// there is the change against stock and nothing more.
type Reach struct {
	Beam        string      `json:"beam" enum:"low|high|fog" doc:"beam it speaks of: of a bulb that does two, the one that is worth less"`
	Rig         Word        `json:"rig" doc:"rig of the test that speaks; null without one in a lamp like the owner's"`
	VsStock     *float64    `json:"vs_stock" doc:"square root of hot vs stock: how distances change if the beam keeps its shape and no cutoff ends it; a low beam mostly gains less, see kerb_vs_stock"`
	VsStockLow  *float64    `json:"vs_stock_low" doc:"low end of its 95 % band"`
	VsStockHigh *float64    `json:"vs_stock_high" doc:"high end of its 95 % band"`
	Kerb        Ratio       `json:"kerb_vs_stock" doc:"how the distance at the kerb side of the lane changes, cutoff included; null without a beam measured direction by direction"`
	Centre      Ratio       `json:"centre_vs_stock" doc:"the same at the centre side"`
	RatioFrom   Word        `json:"ratio_from" enum:"beams|stock_shape" doc:"beams: both were measured; stock_shape: the halogen's beam, as much brighter as the light is; null without"`
	Lines       []ReachLine `json:"lines" doc:"how far the light reaches, by level; empty when the beam was not measured direction by direction"`
	StockLines  []ReachLine `json:"stock_lines" doc:"the same of the stock halogen in the same lamp"`
	Equivalent  *bool       `json:"candela_equivalent" doc:"measured too near the lamp for true candela: the metres are estimates; null without lines"`
	CapM        *float64    `json:"cap_m" doc:"where the cutoff meets the road; null where it does not or is not known"`
	StoppingM   *float64    `json:"stopping_m" doc:"AASHTO stopping sight distance at the owner's speed, level road; null without a speed"`
	EyeVsStock  *float64    `json:"eye_vs_stock" doc:"light at an oncoming eye, times that of the stock halogen; from stray light"`
	Eye         []EyeLight  `json:"eye" doc:"light at an oncoming eye; empty when the beam was not measured direction by direction"`
	Veil        []Veil      `json:"veil" doc:"disability glare at an oncoming eye beside the stock halogen's; empty when no beam of that lamp was measured direction by direction"`
	Assumed     []string    `json:"assumed" doc:"what was taken for granted"`
	Says        []string    `json:"says" doc:"the same in sentences"`
}

// ReachLine is how far the light reaches at one level.
type ReachLine struct {
	Lamps       int      `json:"lamps" doc:"lamps lit"`
	Lux         float64  `json:"lux" doc:"level"`
	KerbM       *float64 `json:"kerb_m" doc:"at the kerb side of the lane; null when not lit or not measured there"`
	KerbFound   string   `json:"kerb_found" enum:"reached|at_least|not_lit|not_measured" doc:"how that was found"`
	CentreM     *float64 `json:"centre_m" doc:"at the centre side of the lane"`
	CentreFound string   `json:"centre_found" enum:"reached|at_least|not_lit|not_measured" doc:"how that was found"`
	Capped      bool     `json:"capped" doc:"the cutoff meets the road first on a side"`
	Sparse      bool     `json:"sparse" doc:"measured points lie too far apart to show a cutoff between them: an estimate, on the low side"`
}

// EyeLight is the light at the eye of an oncoming driver at one distance.
type EyeLight struct {
	What      string   `json:"what" enum:"as_aimed|misaim|collar" doc:"beam as aimed, a quarter degree too high, or with a collar half a millimetre off"`
	RaiseDeg  float64  `json:"raise_deg" doc:"how far the beam, or the half of it that rises, is raised"`
	DistanceM float64  `json:"distance_m" doc:"distance of the eye"`
	Lux       *float64 `json:"lux" doc:"light at the eye, all lamps; null when the beam was not measured in that direction"`
	LimitLux  float64  `json:"limit_lux" doc:"federal limit of adaptive beams at that distance, a yardstick only"`
	Over      *bool    `json:"over" doc:"above that limit"`
	DeBoer    *float64 `json:"de_boer" doc:"rating on the de Boer scale, 1 unbearable to 9 just noticeable; the formula is from memory"`
}

// ReachFacts are what is known of one bulb in one lamp.
type ReachFacts struct {
	Kind         string // led or halogen
	Beam         string // low, high, fog
	Hot          Hot
	StrayVsStock *float64
	Pattern      *data.PatternRecord // the bulb's own beam in a lamp like the owner's; nil: not known
	Stock        *data.PatternRecord // the stock beam of that lamp
	Rig          Word                // that lamp
	MeasuredAtM  float64             // lamp to meter; 0 when not known
}

// Geometry taken for granted where the owner's is not known.
const (
	usualHeightM  = 0.65 // lamp centre of a car (common practice)
	usualDipPct   = 1.0  // UN R48 first setting, at the upper end
	usualSpacingM = 1.2  // between the lamps of a car (common practice)
	collarMM      = 0.5  // a collar error that a ruler just shows
	usualFocalMM  = 25.0 // focal length of a small headlamp reflector (common practice)
	exampleEyeM   = 50.0 // where glare is put into words
)

// ReachOf computes reach and glare of one bulb for one owner. It cannot fail: what
// cannot be computed is null, and a record that the road room refuses counts as
// not measured.
func ReachOf(k *Knowledge, n Need, facts ReachFacts) Reach { return k.reachOf(n, facts, &beams{}) }

func (k *Knowledge) reachOf(n Need, facts ReachFacts, seen *beams) Reach {
	r := Reach{Beam: facts.Beam, Rig: facts.Rig, Lines: []ReachLine{}, StockLines: []ReachLine{}, Eye: []EyeLight{}, Veil: []Veil{}, Assumed: []string{}, Says: []string{}}
	if facts.Beam != data.BeamFog {
		r.VsStock, r.VsStockLow, r.VsStockHigh = rootOf(facts.Hot.VsStock), rootOf(facts.Hot.VsStockLow), rootOf(facts.Hot.VsStockHigh)
	}
	if n.SpeedKmh != nil {
		if stop, err := road.StoppingMetric(*n.SpeedKmh); err == nil {
			r.StoppingM = &stop.Total
		}
	}
	if facts.Kind == data.KindLED && facts.Beam != data.BeamHigh {
		r.EyeVsStock = facts.StrayVsStock
	}
	g := k.geometry(n, facts.Beam)
	if capM, ok, err := road.CutoffDistance(g.heightM, g.dipDeg); err == nil && ok && g.known && facts.Beam == data.BeamLow {
		r.CapM = &capM
	}
	if facts.Beam != data.BeamFog {
		r.measured(g, facts, seen)
	}
	r.say(n, facts, g)
	return r
}

func rootOf(q *float64) *float64 {
	if q == nil {
		return nil
	}
	root, err := road.ReachRatio(*q)
	if err != nil {
		return nil
	}
	return &root
}

// geometry is the owner's lamp on the road.
type geometry struct {
	heightM, dipDeg float64
	spacingM        float64
	focalMM         float64
	lamps           int
	high            bool
	traffic         road.Traffic
	known           bool // height and dip are the owner's own
	assumed         []string
}

func (k *Knowledge) geometry(n Need, beam string) geometry {
	g := geometry{
		heightM: usualHeightM, spacingM: usualSpacingM, focalMM: usualFocalMM, lamps: 2, high: beam == data.BeamHigh,
		traffic: k.Drives(n.Where), known: true,
	}
	if n.Cycle {
		g.lamps, g.spacingM = 1, 0
	}
	lamp := n.Lamp
	if lamp == nil {
		lamp = &data.Lamp{}
	}
	if lamp.Height != nil && *lamp.Height >= 200 && *lamp.Height <= 1600 {
		g.heightM = *lamp.Height / 1000
	} else {
		g.known = false
		g.assumed = append(g.assumed, "lamp centre 650 mm up")
	}
	if lamp.Focal != nil {
		g.focalMM = *lamp.Focal
	}
	if dip, ok := ownDip(lamp); ok {
		g.dipDeg = dip
	} else if !g.high {
		g.known = false
		g.dipDeg = percentDeg(usualDipPct)
		g.assumed = append(g.assumed, "cutoff aimed 1 % down")
	}
	if g.high {
		g.dipDeg = 0
	}
	if g.traffic == "" {
		g.traffic = road.RightHand
		g.assumed = append(g.assumed, "traffic on the right")
	}
	return g
}

// ownDip is the dip of the plate, else that of the marking, in degrees.
func ownDip(lamp *data.Lamp) (deg float64, ok bool) {
	if lamp.Dip != nil && *lamp.Dip <= 5 {
		return percentDeg(*lamp.Dip), true
	}
	if lamp.Marking == "" {
		return 0, false
	}
	marking, err := road.ParseMarking(lamp.Marking)
	if err != nil {
		return 0, false
	}
	switch marking {
	case road.MarkingVOL:
		return 0.4, true // 49 CFR 571.108 S10.18.9.1.1
	case road.MarkingVOR:
		return 0, true
	case road.MarkingUN:
		return percentDeg(usualDipPct), true // UN R112: line B, 1 % below
	}
	return 0, false
}

// Drives is the side of the road at a place, or empty when it is not known.
func (k *Knowledge) Drives(where Word) road.Traffic {
	if where == "" {
		return ""
	}
	return road.Traffic(data.Law(nil, k.Places, nil, string(where), data.BeamLow).Drives)
}

func percentDeg(percent float64) float64 { return 180 / math.Pi * math.Atan(percent/100) }

// measured fills in metres and glare from beams measured direction by direction.
func (r *Reach) measured(g geometry, facts ReachFacts, seen *beams) {
	own, stock := seen.of(facts.Pattern), seen.of(facts.Stock)
	if facts.Kind == data.KindHalogen && own == nil {
		own, stock = stock, nil
	}
	if own == nil && stock == nil {
		return
	}
	r.Assumed = append(r.Assumed, g.assumed...)
	if record := facts.Pattern; (own != nil && record != nil && record.CutoffV == nil) && !g.high {
		r.Assumed = append(r.Assumed, "the beam measured with its cutoff 1 % down")
	}
	equivalent := facts.MeasuredAtM < road.RegulatorDistanceUS
	r.Equivalent = &equivalent
	if own != nil {
		r.Lines = own.lines(g)
		if !g.high {
			r.Eye = g.eyes(own)
		}
	}
	if stock != nil {
		r.StockLines = stock.lines(g)
	}
	if !g.high {
		r.Veil = g.veils(own, stock, facts.StrayVsStock)
	}
	if facts.Kind == data.KindLED {
		r.ratios(g, own, stock, facts.Hot)
	}
	if capM, ok, err := road.CutoffDistance(g.heightM, g.dipDeg); err == nil && ok && !g.high {
		r.CapM = &capM
	}
}

func metres(side road.SideReach) *float64 {
	if side.Found != road.Reached && side.Found != road.AtLeast {
		return nil
	}
	m := side.M
	return &m
}

// eyes is the light at an oncoming eye: as aimed at every distance, and at one
// distance with a quarter degree of misaim and with a collar half a millimetre
// off, so that the three can be compared.
func (g geometry) eyes(b *beamOnRoad) []EyeLight {
	list := []EyeLight{}
	tilts, err := road.CollarTilts(0, collarMM, g.focalMM)
	if err != nil {
		return list
	}
	for _, c := range []struct {
		what      string
		raise     float64
		distances []float64
	}{
		{"as_aimed", 0, nil},
		{"misaim", tilts[0].RaiseDeg, []float64{exampleEyeM}},
		{"collar", tilts[1].RaiseDeg, []float64{exampleEyeM}},
	} {
		glare, err := road.Glare(road.GlareInput{
			Field: b.field, LampHeightM: g.heightM, DipDeg: g.dipDeg, FieldDipDeg: b.dip, RaiseDeg: c.raise,
			Traffic: g.traffic, Lamps: g.lamps, SpacingM: g.spacingM, DistancesM: c.distances,
		})
		if err != nil {
			return []EyeLight{}
		}
		for _, at := range glare {
			eye := EyeLight{What: c.what, RaiseDeg: c.raise, DistanceM: at.DistanceM, LimitLux: at.LimitLux}
			if at.Measured {
				lux, over := at.Lux, at.Over
				eye.Lux, eye.Over = &lux, &over
			}
			if at.Rated {
				w := at.DeBoer
				eye.DeBoer = &w
			}
			list = append(list, eye)
		}
	}
	return list
}

// reachOf is the reach of a judged bulb, from the test that its light is from.
func (d *decision) reachOf(r *Ranked) Reach {
	facts := factsOf(r.Kind, r.judged.light)
	facts.Hot, facts.StrayVsStock = r.Hot, r.Glare.VsStock
	return d.know.reachOf(d.need, facts, &d.memory.beams)
}

// factsOf are those of the test that a view speaks from. A beam is never lent to
// a lamp of another size or housing, and in a rig that does two the stock beam on
// record is the low one.
func factsOf(kind string, seen view) ReachFacts {
	facts := ReachFacts{Kind: kind, Beam: seen.beam, Hot: seen.hot, StrayVsStock: seen.glare.VsStock}
	test := seen.speaks
	if test == nil || seen.evidence.grade != EvidenceLike {
		return facts
	}
	facts.Rig, facts.Pattern = Word(test.rig.ID), test.test.Pattern
	if test.rig.Beam == seen.beam || test.rig.Beam == data.BeamBoth && seen.beam == data.BeamLow {
		facts.Stock = test.rig.Stock
	}
	if test.rig.Distance != nil {
		facts.MeasuredAtM = *test.rig.Distance
	}
	return facts
}

// Package recommend turns a need and a catalog into a decision: gates, values,
// tiers, order, how sure, what to measure, what the law says. It is pure:
// records and plain values in, one Pick out. Every verb that recommends calls
// Decide, so the same need gives the same answer everywhere.
package recommend

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"stillbright/data"
	"stillbright/fitment"
	"stillbright/recommend/sure"
)

// Options are what a decision needs beside the need.
type Options struct {
	Today data.Date // to tell an old law row; empty: age is not judged
	Seed  uint64    // of the draws behind firm.noise
	// Ask works out the next question, which takes some dozens of decisions more.
	Ask bool
	// Brief leaves out what only the long screen and the document show: the road.
	// The decision is the same.
	Brief bool

	memory *memory // of other decisions on the same catalog
}

// decision is the work in progress.
type decision struct {
	know    *Knowledge
	catalog *data.Catalog
	memory  *memory
	index   *index
	need    Need
	size    data.Size
	spread  map[string]float64 // lamp-to-lamp spread by housing, percent
	scale   sure.Scale
	lean    bool // only the order is wanted
	bench   bool // a test in its own rig is looked at, not an owner's lamp
}

// Decide makes the decision for one need. The only error is a *NeedError: a
// need that contradicts itself or asks for what is no halogen bulb.
func Decide(k *Knowledge, c *data.Catalog, need Need, opt Options) (Pick, error) {
	return decide(k, c, need, opt, true)
}

// Order is Decide without how sure the order is, what would change it and what to
// do besides, for those who ask it many times. The answer is the same.
func Order(k *Knowledge, c *data.Catalog, need Need) (Pick, error) {
	return decide(k, c, need, Options{}, false)
}

// decide leaves out how sure the order is when only the order is wanted.
func decide(k *Knowledge, c *data.Catalog, need Need, opt Options, firm bool) (Pick, error) {
	completed, size, notes, err := complete(need, k)
	if err != nil {
		return Pick{}, err
	}
	d := newWork(k, c, opt.memory)
	d.need, d.size, d.lean = completed, size, !firm || opt.Brief
	d.scale = outputScale(k.profiles(completed.Driving))

	pick := Pick{
		Schema: "stillbright/pick/2", Need: completed, Notes: NeverNil(append(notes, d.assumptions()...)),
		Ranked: []Ranked{}, MeasureFirst: []Ranked{}, SetAside: []SetAside{}, Gates: []Gate{},
		ToMeasure: []fitment.ToMeasure{}, Before: []Before{}, Flips: []Flip{},
		Catalog: CatalogLine{Name: c.Name, Invented: c.Invented},
	}
	pick.Law = k.LawFor(completed.Where, LawBeam(completed.Beam), opt.Today)
	pick.Stock = d.stock()
	verdicts := d.judgeAll()
	pick.Ranked = make([]Ranked, 0, len(verdicts))
	for _, seen := range verdicts {
		ranked, aside := seen.ranked, seen.aside
		switch {
		case aside != nil:
			pick.SetAside = append(pick.SetAside, *aside)
		case len(ranked.Missing) > 0:
			pick.MeasureFirst = append(pick.MeasureFirst, ranked)
		default:
			pick.Ranked = append(pick.Ranked, ranked)
		}
	}
	slices.SortFunc(pick.Ranked, inOrder)
	slices.SortFunc(pick.MeasureFirst, inOrder)
	slices.SortFunc(pick.SetAside, func(a, b SetAside) int { return strings.Compare(a.Bulb, b.Bulb) })
	pick.Gates = gates(pick.SetAside, completed)
	ballot, candidates := d.ballotOf(&pick)
	if firm {
		d.firm(&pick, ballot, candidates, opt.Seed)
	}
	markStockTies(&pick)
	pick.Answer = d.answer(&pick, ballot)
	if firm {
		pick.Flips = d.flips(&pick, ballot)
		pick.Before, pick.ToMeasure = d.before(), d.toMeasure(&pick)
		pick.Answer.Otherwise = d.otherwise(&pick, ballot)
	}
	if opt.Ask {
		pick.NextQuestion = nextQuestion(k, c, need, d.memory)
	}
	d.safety(&pick)
	return pick, nil
}

// inOrder is the order of ranked: tier, score, unclamped hot vs stock, pattern,
// temperature, price, id. It is total, so the order of files never shows.
func inOrder(a, b Ranked) int {
	return cmp.Or(
		cmp.Compare(tierOrder(a.Tier), tierOrder(b.Tier)),
		-cmp.Compare(a.Score, b.Score),
		-cmp.Compare(a.judged.mid, b.judged.mid),
		-cmp.Compare(a.judged.patternScore, b.judged.patternScore),
		cmp.Compare(a.judged.bodyC, b.judged.bodyC),
		cmp.Compare(priceKey(a.Price), priceKey(b.Price)),
		strings.Compare(a.Bulb, b.Bulb),
	)
}

func tierOrder(tier string) int {
	if tier == TierDimmer {
		return 1
	}
	return 0
}

func priceKey(price *Price) float64 {
	if price == nil {
		return math.Inf(1)
	}
	return price.Amount
}

// newWork is a decision about nothing yet. What it remembers is that of other
// decisions on the same catalog, or nothing.
func newWork(k *Knowledge, c *data.Catalog, m *memory) *decision {
	m = cmp.Or(m, &memory{})
	m.of(c, k.Rules.Bench)
	return &decision{know: k, catalog: c, memory: m, index: m.index, spread: m.spread}
}

// verdict is a bulb ranked or set aside.
type verdict struct {
	ranked Ranked
	aside  *SetAside
}

// judgeAll judges the bulbs that go into the owner's lamp, in the order of the
// catalog. They are judged side by side, since each stands for itself.
func (d *decision) judgeAll() []verdict {
	var bulbs []*data.Bulb
	for i := range d.catalog.Bulbs {
		bulb := &d.catalog.Bulbs[i]
		if bulb.Size == d.size.Category || slices.Contains(bulb.AlsoFits, d.size.Category) {
			bulbs = append(bulbs, bulb)
		}
	}
	verdicts := make([]verdict, len(bulbs))
	data.SideBySide(len(bulbs), func(i int) { verdicts[i].ranked, verdicts[i].aside = d.judge(bulbs[i], false) })
	return verdicts
}

// judge looks at a bulb from every side the need asks for, and either ranks it
// or sets it aside with every reason. The light of one that is set aside is only
// worked out where whole asks for it.
func (d *decision) judge(bulb *data.Bulb, whole bool) (Ranked, *SetAside) {
	n := d.need
	r := Ranked{
		Bulb: bulb.ID, Name: bulb.Name, Kind: bulb.Kind, Tier: TierAhead,
		TieWith: []string{}, Missing: []Missing{}, Cautions: []string{},
		Price: PriceOf(bulb, perWord(n)), judged: judged{bulb: bulb},
	}
	views := d.allViews(bulb, false)
	if bulb.Kind == data.KindHalogen {
		views = halogenViews(views)
	}
	report := d.know.fitOf(bulb, n, d.size, allPatternsKnown(views), views[0].spreadPct)
	because, open := d.against(&r, views, report)
	if because != nil && !whole {
		return r, &SetAside{Bulb: bulb.ID, Name: bulb.Name, Kind: bulb.Kind, Because: because}
	}
	for i := range views {
		views[i] = d.recall(bulb, views[i].beam, views[i].housing, true)
	}
	d.merge(&r, views)
	r.judged.seen = allPatternsKnown(views)
	if !d.lean {
		r.Reach = d.reachOf(&r)
	}
	r.Fit = Fit{Overall: string(report.Overall), Unknowns: report.Unknowns, Checks: report.Checks}
	for _, finding := range report.Missing(fitment.OwnerBulb) {
		if r.Evidence == EvidenceLike && !finding.Decides {
			continue // it went into a lamp like the owner's on the bench
		}
		how := "measure the bulb in the hand"
		if finding.Measure != nil {
			how = *finding.Measure
		}
		r.Missing = append(r.Missing, Missing{finding.Check, how})
	}
	r.Missing = append(r.Missing, open...)
	if room, unusual := d.unusualRoom(report); unusual && bulb.Kind == data.KindLED {
		r.Missing = append(r.Missing, Missing{
			fmt.Sprintf("the room behind your lamp: it needs %.0f mm, more than most lamps have", room),
			"bulb flange to the inside of the closed cap; then --rear-clearance"})
	}
	for _, v := range views {
		r.Missing = append(r.Missing, v.missing...)
	}
	if because != nil {
		return r, &SetAside{Bulb: bulb.ID, Name: bulb.Name, Kind: bulb.Kind, Because: because}
	}
	r.Missing = unique(r.Missing)
	r.Cautions = append(r.Cautions, d.bulbCautions(bulb, views)...)
	slices.Sort(r.Cautions)
	r.Cautions = slices.Compact(r.Cautions)
	return r, nil
}

// against lists every reason that sets a bulb aside, and what may be one when it is
// known better. None of them asks for its light.
func (d *decision) against(r *Ranked, views []view, report fitment.Report) (because []Reason, open []Missing) {
	for _, finding := range report.Against() {
		because = append(because, Reason{finding.Check, finding.Why})
	}
	var noCutoff, hot []string
	glare := Glare{}
	for _, v := range views {
		if glareOrder(v.glare.Verdict) > glareOrder(glare.Verdict) {
			glare = v.glare
		}
		if v.noCutoff != "" {
			noCutoff = append(noCutoff, v.noCutoff)
		}
		out, unsure := d.bodyGate(v)
		if out != "" {
			hot = append(hot, out)
		}
		if unsure != "" {
			open = append(open, Missing{unsure, "bench add, with air, surface and cap"})
		}
	}
	if glare.Verdict == GlareOver {
		because = append(because, Reason{CheckGlare, glare.Why})
	}
	if noCutoff != nil {
		because = append(because, Reason{CheckCutoff, join(noCutoff)})
	}
	if why := d.powerGate(r.judged.bulb, views); why != "" {
		because = append(because, Reason{CheckPower, why})
	}
	if hot != nil {
		because = append(because, Reason{CheckHeat, join(hot)})
	}
	switch afford(r.Price, d.need.Budget) {
	case tooDear:
		because = append(because, dearReason(r.Price, d.need.Budget))
	case priceUnknown:
		open = append(open, Missing{"a price in the budget's currency", "ask the seller"})
	}
	return because, open
}

// unusualRoom says whether a bulb needs more room behind the lamp than most
// have, while the owner's room is not known. Unknown is never good: such a bulb
// may not lead.
func (d *decision) unusualRoom(report fitment.Report) (mm float64, unusual bool) {
	for _, item := range report.ToMeasure {
		if item.Check == "rear" && item.AtLeast != nil {
			return *item.AtLeast, *item.AtLeast > d.know.Rules.Choice.UsualRear.Value
		}
	}
	return 0, false
}

func (d *decision) allViews(bulb *data.Bulb, lit bool) []view {
	beams, housings := views(d.need)
	var list []view
	for _, housing := range housings {
		for _, beamName := range beams {
			list = append(list, d.recall(bulb, beamName, housing, lit))
		}
	}
	return list
}

// halogenViews drops the views in which a halogen was not tested, as long as
// one is left: it is made for projector and reflector alike.
func halogenViews(list []view) []view {
	tested := slices.DeleteFunc(slices.Clone(list), func(v view) bool { return v.evidence.grade != EvidenceLike })
	if len(tested) == 0 {
		return list
	}
	return tested
}

func allPatternsKnown(list []view) bool {
	return !slices.ContainsFunc(list, func(v view) bool { return !v.patternKnown })
}

// evidenceOrder ranks the grades, best first.
var evidenceOrder = []string{EvidenceLike, EvidenceSibling, EvidenceOther, EvidenceNone}

// merge takes the worst of each value over the views, and says what was seen
// in the view that decides.
func (d *decision) merge(r *Ranked, list []view) {
	r.Evidence = EvidenceLike
	low, patternWorst, heatWorst := math.Inf(1), math.Inf(1), math.Inf(1)
	for i, v := range list {
		if slices.Index(evidenceOrder, v.evidence.grade) > slices.Index(evidenceOrder, r.Evidence) {
			r.Evidence = v.evidence.grade
		}
		mid, least, shape, known := 0.0, 0.0, 1.0, false
		if v.ratio != nil {
			shape, known = d.roadShape(r.Kind, v)
			mid, least = v.ratio.Mid, v.ratio.Low*shape
		}
		if i == 0 || least < low {
			low = least
			r.judged.mid, r.judged.towardRoad, r.judged.light, r.judged.down = mid, shape, v, 0
			if v.ratio != nil {
				r.judged.down = v.ratio.Down * toStandard
			}
			r.Hot, r.judged.errors, r.Errors = v.hot, v.errors, v.errors
			r.OutputWhy = ""
			if known {
				r.OutputWhy = fmt.Sprintf("light counts %.2f times the hot spot's figure: so much of it, against the halogen's beam, reaches the lane's edges at 50 and 75 m", shape)
			}
		}
		pattern := orZero(v.pattern.Score) / 100
		if pattern < patternWorst {
			patternWorst = pattern
			r.Pattern = v.pattern
			r.judged.patternScore = 100 * pattern
			r.judged.patternKey = v.patternKey
			r.judged.shape = v
		}
		if v.heat < heatWorst {
			heatWorst = v.heat
			r.judged.heat, r.judged.warm = v.heat, v
			r.judged.bodyC = orZero(v.bodyC)
		}
		if glareOrder(v.glare.Verdict) > glareOrder(r.Glare.Verdict) {
			r.Glare = v.glare
		}
		r.Cautions = append(r.Cautions, v.cautions...)
	}
	d.expected(r)
	// Volts that nobody noted may have been higher, too; not noting them must not
	// lift a bulb out of the dimmer ones.
	if v := r.judged.light; v.ratio != nil {
		r.judged.tierHigh = v.ratio.High / math.Exp(v.ratio.Up)
		r.Tier = tierOf(r.judged.tierHigh)
	}
}

func scoreOf(v Values, w Weights) float64 {
	return 100 * (w.Output*v.Output + w.Pattern*v.Pattern + w.Heat*v.Heat)
}

func unique(list []Missing) []Missing {
	seen := map[string]bool{}
	kept := []Missing{}
	for _, m := range list {
		if !seen[m.What] {
			seen[m.What] = true
			kept = append(kept, m)
		}
	}
	return kept
}

// assumptions says what was taken for granted about the owner.
func (d *decision) assumptions() []string {
	notes := []string{}
	if d.need.Climate == "" {
		notes = append(notes, "No climate given: mild taken for the heat.")
	}
	if d.need.Volts == nil {
		notes = append(notes, "No volts given: a 12 V system taken.")
	}
	if len(d.need.Driving) == 0 {
		notes = append(notes, "No driving given: suburban, rural and highway taken together.")
	}
	return notes
}

// output is the output value of a vs-stock ratio; no light has none.
func (d *decision) output(q float64) float64 {
	if q <= 0 {
		return 0
	}
	return d.scale.Value(q)
}

// gates counts what each check removed, and how many bulbs only that check
// keeps out.
func gates(aside []SetAside, n Need) []Gate {
	counts := map[string]*Gate{}
	for _, bulb := range aside {
		checks := map[string]bool{}
		for _, reason := range bulb.Because {
			checks[reason.Check] = true
		}
		for check := range checks {
			gate := counts[check]
			if gate == nil {
				gate = &Gate{Check: check, Relax: relaxation(check, n)}
				counts[check] = gate
			}
			gate.Removed++
			if len(checks) == 1 {
				gate.Alone++
			}
		}
	}
	list := []Gate{}
	for _, gate := range counts {
		list = append(list, *gate)
	}
	slices.SortFunc(list, func(a, b Gate) int {
		return cmp.Or(-cmp.Compare(a.Alone, b.Alone), -cmp.Compare(a.Removed, b.Removed), strings.Compare(a.Check, b.Check))
	})
	return list
}

// relaxation says what would have to change for a gate to open. Glare has none.
func relaxation(check string, n Need) string {
	switch check {
	case "glare":
		return ""
	case "budget":
		return "a higher --budget"
	}
	if relaxes := fitment.Relaxation(check); relaxes != "" {
		return relaxes
	}
	if n.PlugAndPlay {
		return "without --plug-and-play"
	}
	return fmt.Sprintf("nothing at the owner's end; see fit, check %s", check)
}

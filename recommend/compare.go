package recommend

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"stillbright/data"
	"stillbright/recommend/warmup"
)

// Standings of a compared bulb: the list of pick in which it stands.
const (
	StandingRanked  = "ranked"
	StandingMeasure = "measure_first"
	StandingAside   = "set_aside"
)

// Least and most bulbs of a comparison: more columns than that nobody reads.
const (
	CompareLeast = 2
	CompareMost  = 6
)

// CompareSheet is the document of `compare`: bulbs side by side in the owner's
// conditions. Every figure is the one that pick gives for the same need.
type CompareSheet struct {
	Schema  string      `json:"schema" enum:"stillbright/compare/1" doc:"document and version"`
	Need    Need        `json:"need" doc:"the need as understood and completed"`
	Bulbs   []Compared  `json:"bulbs" doc:"the bulbs, in the order asked for"`
	Stock   Stock       `json:"stock" doc:"the fitted halogen as reference, free of charge"`
	Pairs   []Pair      `json:"pairs" doc:"every two of the bulbs: is the difference more than noise"`
	Error   float64     `json:"draw_error" doc:"standard error of the probabilities, by the number of draws"`
	Pick    Answer      `json:"pick" doc:"what pick says for the same need, over the whole catalog"`
	Law     LawLine     `json:"law" doc:"what is known of the rules"`
	Catalog CatalogLine `json:"catalog" doc:"where the records come from"`
	Notes   []string    `json:"notes" doc:"what was assumed"`

	PickName, HalogenName string `json:"-"` // names of the bulbs in Pick
}

// Compared is one bulb of a comparison: what pick says of it, and the figures
// behind.
type Compared struct {
	Ranked
	Standing    string          `json:"standing" enum:"ranked|measure_first|set_aside" doc:"the list of pick it stands in"`
	Place       *int            `json:"place" doc:"its place in pick's ranking; null unless ranked"`
	Because     []Reason        `json:"because" doc:"why it is set aside"`
	PatternOf   PatternParts    `json:"pattern_parts" doc:"parts of the pattern, 0 to 1; null where not measured"`
	BodyC       *float64        `json:"body_c" doc:"body temperature on the bench"`
	BodyInLampC *float64        `json:"body_in_lamp_c" doc:"body temperature carried to the owner's lamp"`
	WattsHot    *float64        `json:"watts_hot" doc:"power, hot; as advertised where it was not measured"`
	Claims      []ClaimLine     `json:"claims" doc:"what the pack says against what is possible and what was measured"`
	Rig         Word            `json:"rig" doc:"rig of the test that the light is from; null without one"`
	Tested      Word            `json:"tested" doc:"day of that test"`
	Readings    []ReadingLine   `json:"readings" doc:"lux against minutes lit"`
	Curve       *warmup.Figures `json:"-"`
}

// PatternParts are the parts of a pattern score.
type PatternParts struct {
	Sharpness *float64 `json:"sharpness" min:"0" max:"1" doc:"sharpness of the cutoff"`
	HotSpot   *float64 `json:"hot_spot" min:"0" max:"1" doc:"hot spot against the cutoff"`
	Stray     *float64 `json:"stray" min:"0" max:"1" doc:"little light above the cutoff"`
	Dark      *float64 `json:"dark" min:"0" max:"1" doc:"no dark spots"`
	Width     *float64 `json:"width" min:"0" max:"1" doc:"width and foreground"`
}

// ReadingLine is one reading.
type ReadingLine struct {
	AtMin float64 `json:"at_min" doc:"minutes lit"`
	Lux   float64 `json:"lux" doc:"reading"`
}

// Compare sets bulbs side by side for one need. The decision is pick's; a bulb
// that pick would set aside, or measure first, is judged the same way and says
// so. The order of the bulbs changes nothing but the order of the columns. The
// errors are *NeedError: the bulbs have no size in common, or the need
// contradicts itself.
func Compare(k *Knowledge, c *data.Catalog, bulbs []data.Bulb, need Need, opt Options) (CompareSheet, error) {
	if err := checkCompared(bulbs); err != nil {
		return CompareSheet{}, err
	}
	size, err := k.sizeToCompare(bulbs, need.Size)
	if err != nil {
		return CompareSheet{}, err
	}
	need.Size = size
	pick, err := Decide(k, c, need, opt)
	if err != nil {
		return CompareSheet{}, err
	}
	d, err := newDecision(k, c, need)
	if err != nil {
		return CompareSheet{}, err
	}
	sheet := CompareSheet{
		Schema: "stillbright/compare/1", Need: pick.Need, Bulbs: []Compared{}, Stock: pick.Stock, Pairs: []Pair{}, Error: noiseError,
		Pick: pick.Answer, Law: pick.Law, Catalog: pick.Catalog, Notes: pick.Notes,
	}
	named, _ := c.Bulb(string(pick.Answer.Bulb))
	halogen, _ := c.Bulb(string(pick.Answer.Halogen))
	sheet.PickName, sheet.HalogenName = named.Name, halogen.Name
	for _, bulb := range bulbs {
		sheet.Bulbs = append(sheet.Bulbs, d.compared(&pick, bulb))
	}
	sheet.Pairs = d.pairs(sheet.Bulbs)
	return sheet, nil
}

// checkCompared refuses too few, too many, and the same bulb twice.
func checkCompared(bulbs []data.Bulb) error {
	if len(bulbs) < CompareLeast || len(bulbs) > CompareMost {
		return &NeedError{Message: fmt.Sprintf("%d bulbs to compare; legal: %d to %d", len(bulbs), CompareLeast, CompareMost),
			Hint: "stillbright catalog list names them"}
	}
	for i, bulb := range bulbs {
		if slices.ContainsFunc(bulbs[:i], func(other data.Bulb) bool { return other.ID == bulb.ID }) {
			return &NeedError{Message: fmt.Sprintf("bulb %q is given twice", bulb.ID)}
		}
	}
	return nil
}

// sizeToCompare is the size in which all the bulbs are compared: the need's
// where it says one, else the one they have in common.
func (k *Knowledge) sizeToCompare(bulbs []data.Bulb, wanted string) (string, error) {
	if wanted != "" {
		size, err := k.Size(wanted)
		if err != nil {
			return "", err
		}
		for _, bulb := range bulbs {
			if !goesInto(bulb, size.Category) {
				return "", &NeedError{Message: fmt.Sprintf("%s is a bulb of size %s, not %s", bulb.ID, strings.Join(sizesOf(bulb), ", "), size.Category),
					Hint: "stillbright catalog list --size " + size.Category}
			}
		}
		return size.Category, nil
	}
	best, most := "", 0
	for _, bulb := range bulbs {
		for _, size := range sizesOf(bulb) {
			if slices.ContainsFunc(bulbs, func(other data.Bulb) bool { return !goesInto(other, size) }) {
				continue
			}
			own := 0
			for _, other := range bulbs {
				if other.Size == size {
					own++
				}
			}
			if best == "" || own > most || own == most && size < best {
				best, most = size, own
			}
		}
	}
	if best == "" {
		var each []string
		for _, bulb := range bulbs {
			each = append(each, bulb.ID+" "+strings.Join(sizesOf(bulb), "/"))
		}
		return "", &NeedError{Message: "these bulbs have no size in common: " + strings.Join(each, ", "),
			Hint: "compare bulbs of one size: stillbright catalog list --size " + bulbs[0].Size}
	}
	return best, nil
}

func sizesOf(bulb data.Bulb) []string { return append([]string{bulb.Size}, bulb.AlsoFits...) }

func goesInto(bulb data.Bulb, size string) bool { return slices.Contains(sizesOf(bulb), size) }

// newDecision is the work behind Decide, for looking at single bulbs.
func newDecision(k *Knowledge, c *data.Catalog, need Need) (*decision, error) {
	completed, size, _, err := complete(need, k)
	if err != nil {
		return nil, err
	}
	d := newWork(k, c, nil)
	d.need, d.size = completed, size
	d.scale = outputScale(k.profiles(completed.Driving))
	return d, nil
}

// compared finds a bulb in the decision, or judges one that was set aside, and
// adds what stands behind its figures.
func (d *decision) compared(pick *Pick, bulb data.Bulb) Compared {
	is := func(r Ranked) bool { return r.Bulb == bulb.ID }
	out := Compared{Standing: StandingAside, Because: []Reason{}, Claims: ClaimLines(d.know, bulb), Readings: []ReadingLine{}}
	if i := slices.IndexFunc(pick.Ranked, is); i >= 0 {
		place := i + 1
		out.Ranked, out.Standing, out.Place = pick.Ranked[i], StandingRanked, &place
	} else if i := slices.IndexFunc(pick.MeasureFirst, is); i >= 0 {
		out.Ranked, out.Standing = pick.MeasureFirst[i], StandingMeasure
	} else {
		r, aside := d.judge(&bulb, true)
		r.Missing = unique(r.Missing)
		if tiesStock(r.Hot) {
			r.TieWith = append(r.TieWith, StockID)
		}
		out.Ranked = r
		if aside != nil {
			out.Because = aside.Because
		}
	}
	out.figures(d)
	return out
}

// figures fills what the views that decide have seen.
func (c *Compared) figures(d *decision) {
	light, warm := c.judged.light, c.judged.warm
	c.BodyInLampC, c.WattsHot = warm.bodyC, cmp.Or(warm.watts, c.judged.bulb.Supply.Watts)
	if t := warm.speaks; t != nil {
		c.BodyC = t.test.Body
	}
	if record := patternRecord(c.Kind, c.judged.shape); record != nil {
		if parts, err := d.partsOf(record); err == nil {
			c.PatternOf = PatternParts{parts.Sharpness, parts.HotSpot, parts.Stray, parts.Dark, parts.Width}
		}
	}
	t := light.speaks
	if t == nil {
		return
	}
	c.Rig, c.Tested, c.Curve = Word(t.rig.ID), Word(t.test.Date), d.figuresOf(*t)
	for _, r := range t.test.Readings {
		c.Readings = append(c.Readings, ReadingLine{r.At, r.Lux})
	}
}

// patternRecord is the record behind a pattern score; a halogen has the stock
// beam of its rig where its own was not scored.
func patternRecord(kind string, shape view) *data.PatternRecord {
	t := shape.speaks
	switch {
	case t == nil:
		return nil
	case kind == data.KindHalogen:
		return cmp.Or(t.test.Pattern, t.rig.Stock)
	case shape.patternKnown:
		return t.test.Pattern
	}
	return nil
}

package data

import (
	"fmt"
	"slices"
	"strings"
)

// Validate checks what a single record cannot show: references between
// records, and values that contradict each other. It also brings every bulb
// size to its category. Faults carry File (the record's origin) and Path; the
// reader of the files adds line and column.
func (c *Catalog) Validate(sizes []Size, places []Place) Faults {
	v := validator{sizes: sizes, places: places}
	for i := range c.Rigs {
		v.rig(&c.Rigs[i])
	}
	for i := range c.Bulbs {
		v.bulb(c, &c.Bulbs[i])
	}
	for i := range c.Cars {
		v.car(&c.Cars[i])
	}
	return v.faults
}

type validator struct {
	sizes  []Size
	places []Place
	faults Faults
	file   string
}

func (v *validator) fault(path, message, hint string) {
	v.faults = append(v.faults, Fault{File: v.file, Path: path, Message: message, Hint: hint})
}

// size brings a size as written to its category.
func (v *validator) size(path string, text *string) (Size, bool) {
	match, near, ok := FindSize(v.sizes, *text)
	if !ok {
		hint := ""
		if len(near) > 0 {
			hint = "did you mean " + strings.Join(near, " or ") + "?"
		}
		v.fault(path, fmt.Sprintf("size %q is not known", *text), hint)
		return Size{}, false
	}
	*text = match.Size.Category
	return match.Size, true
}

// serves checks that a size can do what a lamp does.
func (v *validator) serves(path string, size Size, beam string) {
	legal := size.Serves()
	if len(legal) > 0 && !slices.Contains(legal, beam) {
		v.fault(path, fmt.Sprintf("beam %q does not go with size %s; it serves %s", beam, size.Category, strings.Join(legal, ", ")), "")
	}
}

// Serves lists the beams a lamp of this size can be recorded with: its own
// functions, and both where one bulb does low and high.
func (s Size) Serves() []string {
	legal := slices.Clone(s.Beams)
	if s.Dual && slices.Contains(legal, BeamLow) && slices.Contains(legal, BeamHigh) {
		legal = append(legal, BeamBoth)
	}
	return legal
}

func (v *validator) rig(r *Rig) {
	v.file = r.Origin
	if size, ok := v.size("size", &r.Size); ok {
		v.serves("beam", size, r.Beam)
	}
	v.pattern("stock_pattern", r.Stock)
}

func (v *validator) bulb(c *Catalog, b *Bulb) {
	v.file = b.Origin
	v.size("size", &b.Size)
	for i := range b.AlsoFits {
		v.size(fmt.Sprintf("also_fits[%d]", i), &b.AlsoFits[i])
	}
	if b.Price != nil && b.Per == "" {
		v.faults = append(v.faults, Fault{File: v.file, Path: "price", Warning: true,
			Message: "does not say whether it buys one bulb or two; one is taken", Hint: "per: pair"})
	}
	if b.Price == nil && b.Per != "" {
		v.fault("per", "stands without a price", "")
	}
	if low, high := b.Supply.VoltsMin, b.Supply.VoltsMax; low != nil && high != nil && *low > *high {
		v.fault("supply.volts_min", "is above volts_max", "")
	}
	names := map[string]bool{}
	for i, lot := range b.Lots {
		at := fmt.Sprintf("lots[%d]", i)
		if names[lot.Name] {
			v.fault(at+".lot", fmt.Sprintf("lot %q stands twice", lot.Name), "put its tests into one list")
		}
		names[lot.Name] = true
		for j, test := range lot.Tests {
			v.test(c, fmt.Sprintf("%s.tests[%d]", at, j), lot, test)
		}
	}
}

func (v *validator) test(c *Catalog, at string, lot Lot, t Test) {
	rig, ok := c.Rig(t.Rig)
	switch {
	case !ok:
		var ids []string
		for _, r := range c.Rigs {
			ids = append(ids, r.ID)
		}
		hint := "rigs: " + strings.Join(ids, " ")
		if near := Near(t.Rig, ids); len(near) > 0 {
			hint = "did you mean " + strings.Join(near, " or ") + "?"
		}
		v.fault(at+".rig", fmt.Sprintf("there is no rig %q", t.Rig), hint)
	case rig.Beam == BeamBoth && t.Beam == "":
		v.fault(at, "the rig does low and high; the test has to say which", "beam: low")
	case rig.Beam != BeamBoth && t.Beam != "" && t.Beam != rig.Beam:
		v.fault(at+".beam", fmt.Sprintf("%q, but the rig is a %s beam", t.Beam, rig.Beam), "")
	}
	if lot.Bought != "" && t.Date < lot.Bought {
		v.fault(at+".date", fmt.Sprintf("%s is before the lot was bought (%s)", t.Date, lot.Bought), "")
	}
	for i := 1; i < len(t.Readings); i++ {
		if t.Readings[i].At <= t.Readings[i-1].At {
			v.fault(fmt.Sprintf("%s.readings[%d].at", at, i), "is not later than the reading before it", "list readings in the order of time")
		}
	}
	v.pattern(at+".pattern", t.Pattern)
}

// pattern checks that a part is judged one way only.
func (v *validator) pattern(at string, p *PatternRecord) {
	if p == nil {
		return
	}
	switch {
	case p.Method == "grade" && p.Parts != nil:
		v.fault(at+".parts", "method grade has marks, not measured parts", "use marks, or method: grid")
	case p.Method != "grade" && p.Marks != nil:
		v.fault(at+".marks", "marks belong to method grade", "use parts, or method: grade")
	}
	v.candela(at, p)
	if p.StrayVsStock == nil && p.OverLimit == nil {
		return
	}
	if p.Marks != nil && p.Marks.Stray != nil {
		v.fault(at+".marks.stray", "stray light was measured as well; a mark would have to be ignored", "drop the mark")
	}
}

func (v *validator) car(car *Car) {
	v.file = car.Origin
	if len(car.Lamps) == 0 {
		v.fault("lamps", "a car without lamps", "")
	}
	for i := range car.Lamps {
		at := fmt.Sprintf("lamps[%d]", i)
		lamp := &car.Lamps[i]
		if size, ok := v.size(at+".size", &lamp.Size); ok && !size.Discharge {
			v.serves(at+".beam", size, lamp.Beam)
		}
	}
	if car.Where == "" {
		return
	}
	place, near, ok := FindPlace(v.places, car.Where)
	if !ok {
		hint := ""
		if len(near) > 0 {
			hint = "did you mean " + strings.Join(near, " or ") + "?"
		}
		v.fault("where", fmt.Sprintf("%q is not a place that is known", car.Where), hint)
		return
	}
	car.Where = place.Code
}

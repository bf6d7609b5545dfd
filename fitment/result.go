package fitment

import (
	"strings"

	"stillbright/data"
	"stillbright/data/quantity"
)

// question is what a check looks at: the facts, the rules, and the findings of
// the checks before it.
type question struct {
	bulb  *Bulb
	lamp  *Lamp
	rules data.FitRules
	done  []Finding

	partsOpen []Finding // unknowns that may end in a part to buy
}

// result is the outcome of one check before it gets its name.
type result struct {
	applies          bool
	verdict          Verdict
	have, need, unit string
	why              string
	measure          string
	fix              string
	part             string
	owner            Owner
	soft             bool
	ask              []ToMeasure
}

func none() result           { return result{} }
func fits(why string) result { return result{applies: true, verdict: Fits, why: why} }
func work(why, fix string) result {
	return result{applies: true, verdict: NeedsWork, why: why, fix: fix}
}
func no(why, fix string) result {
	return result{applies: true, verdict: DoesNotFit, why: why, fix: fix}
}

// lacking is an unknown that is a gap in the bulb's record.
func lacking(why, measure string) result {
	return result{applies: true, verdict: Unknown, why: why, measure: measure, owner: OwnerBulb}
}

// unmeasured is an unknown that the owner settles on the car.
func unmeasured(why string, ask ...ToMeasure) result {
	r := result{applies: true, verdict: Unknown, why: why, owner: OwnerCar, ask: ask}
	for i, item := range ask {
		if i > 0 {
			r.measure += " "
		}
		r.measure += item.How
	}
	return r
}

// number sets what is there and what is needed, as bare numbers in unit.
func (r result) number(have *float64, need, unit string) result {
	if have != nil {
		r.have = bare(*have)
	}
	r.need, r.unit = need, unit
	return r
}

// word sets what is there and what is needed, as words.
func (r result) word(have, need string) result {
	r.have, r.need = have, need
	return r
}

// also adds things for the owner to measure to a finding about the bulb.
func (r result) also(ask ...ToMeasure) result {
	r.ask = append(r.ask, ask...)
	return r
}

// softly marks an unknown that does not hold up the overall verdict.
func (r result) softly(when bool) result {
	r.soft = when && r.verdict == Unknown
	return r
}

// buying names the part that has to be bought beside the bulb.
func (r result) buying(part string) result {
	r.part = part
	return r
}

// finding gives the result its name; its words stand in the room given.
func (r *result) finding(entry *entry, room *[]string) Finding {
	text := func(s string) *string {
		if s == "" {
			return nil
		}
		*room = append(*room, s)
		return &(*room)[len(*room)-1]
	}
	return Finding{
		Check: entry.id, Verdict: r.verdict, Have: text(r.have), Need: text(r.need), Unit: text(r.unit),
		Why: r.why, Measure: text(r.measure), Fix: text(r.fix),
		Group: entry.group, Owner: r.owner, Soft: r.soft, Part: r.part,
	}
}

// wordsOf is how many words a finding mostly points at.
const wordsOf = 3

func text(s string) *string {
	if s == "" {
		return nil
	}
	return &s
}

// bare prints a number to twelve digits: every digit of a measurement, without
// the noise of adding two of them.
func bare(v float64) string { return quantity.Format(v, "", 12) }

// said prints a number for a sentence: three digits and its unit.
func said(v float64, unit string) string { return quantity.Format(v, "", 3) + " " + unit }

func atLeast(v float64) string { return ">= " + bare(v) }
func atMost(v float64) string  { return "<= " + bare(v) }

// upTo is the most that fits into a room, or nothing when the room is less than
// the margin itself.
func upTo(v float64) string {
	if v < 0 {
		return ""
	}
	return atMost(v)
}

// lower turns a sentence into the end of another.
func lower(sentence string) string { return strings.ToLower(sentence[:1]) + sentence[1:] }

func degrees(v float64) string { return quantity.Format(v, "", 3) + "°" }

// measureAtLeast asks the owner for a value that must reach least.
func measureAtLeast(what string, least float64, unit, how string) ToMeasure {
	return ToMeasure{What: what, Need: text(atLeast(least)), Unit: text(unit), How: how, AtLeast: &least}
}

// measureAtMost asks the owner for a value that must not pass most.
func measureAtMost(what string, most float64, unit, how string) ToMeasure {
	return ToMeasure{What: what, Need: text(atMost(most)), Unit: text(unit), How: how, AtMost: &most}
}

// measureBetween asks the owner for a value that must lie in a range.
func measureBetween(what string, least, most float64, unit, how string) ToMeasure {
	need := bare(least) + " to " + bare(most)
	return ToMeasure{What: what, Need: &need, Unit: text(unit), How: how, AtLeast: &least, AtMost: &most}
}

// find asks the owner for a fact that is not a number. Need may be empty.
func find(what, need, how string) ToMeasure {
	return ToMeasure{What: what, Need: text(need), How: how}
}

// Facts that more than one check asks for.

func askCap() ToMeasure {
	return find("what closes the lamp behind the bulb", "",
		"Look behind the lamp: a hard cap, a rubber boot, a cap with vents, or nothing but the bulb's own seal.")
}

func askOpening(least float64) ToMeasure {
	return measureAtLeast("diameter of the opening behind the bulb, and inside its cap", least, "mm",
		"Cap off, lamp off and cold: measure across the opening and inside the cap; the smaller one counts.")
}

const whatHalogenWatts = "watts of the old halogen"

// noise is what a sum of millimetres may be off without anybody having measured
// it so.
const noise = 1e-9

func reaches(v, least float64) bool { return v >= least-noise }

// grade places a figure of which less is better.
func grade(v, good, poor float64) Verdict {
	switch {
	case v <= good+noise:
		return Fits
	case v <= poor+noise:
		return NeedsWork
	}
	return DoesNotFit
}

func yes(b *bool) bool { return b != nil && *b }
func not(b *bool) bool { return b != nil && !*b }

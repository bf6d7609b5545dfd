// Package fitment says whether a replacement bulb goes into a lamp, lights up
// and stays in. Records go in, findings come out; the room knows no files and no
// terminal.
//
// # What a finding says
//
// Each check gives one verdict: fits, needs_work, does_not_fit or unknown. A
// missing measurement is unknown, never fits, unless every value it could have
// gives fits. The overall verdict is the worst one; the unknowns are listed
// beside it. When nothing is worse than fits but something is unknown, the
// overall verdict is unknown.
//
// A soft unknown is named but does not make the overall verdict unknown: it can
// at worst cost work that shows on the first evening (mass, inrush, plug,
// repeat seating, both beams lit on high), or it is a dimension of the emitters
// in a bulb whose beam was measured in a lamp like the owner's. Then the beam
// is the evidence, and only a known dimension beyond the limit still counts.
//
// Trimming tabs, forcing a bulb or driving without the dust cap is never a fix.
//
// # Adding a check
//
// Write one function of type check in a file of its own: it takes the bulb, the
// lamp and the rules and returns a result, built with fits, work, no or unknown;
// or none() when it does not apply. The facts are the fields of the records
// themselves. Add one line to the table in table.go, at the place where an owner
// would look for it; the order there is the order of the answer, and its columns
// say what else hangs on the check. Put its threshold into data.FitRules and data/known/yaml/fit.yaml
// with one line saying why. In its test file, list one case for each verdict it
// can give; the tests over all checks (texts, missing facts, random input) find
// it through the table.
package fitment

import (
	"cmp"
	"slices"

	"stillbright/data"
)

// Verdict is the outcome of one check, or of all.
type Verdict string

// The four verdicts.
const (
	Fits       Verdict = "fits"
	NeedsWork  Verdict = "needs_work"
	DoesNotFit Verdict = "does_not_fit"
	Unknown    Verdict = "unknown"
)

// severity orders the verdicts that are known.
func (v Verdict) severity() int {
	switch v {
	case NeedsWork:
		return 1
	case DoesNotFit:
		return 2
	}
	return 0
}

// Owner says who can settle an unknown.
type Owner string

// An unknown of the car is measured by its owner before ordering; an unknown of
// the bulb is a gap in its record.
const (
	OwnerNone Owner = ""
	OwnerCar  Owner = "car"
	OwnerBulb Owner = "bulb"
)

// Finding is the outcome of one check. Have and Need are bare numbers or words;
// Need may start with ">= " or "<= " or read "9 to 16". What is not known or
// not asked for is nil.
type Finding struct {
	Check   string  `json:"check"`
	Verdict Verdict `json:"verdict"`
	Have    *string `json:"have"`
	Need    *string `json:"need"`
	Unit    *string `json:"unit"`
	Why     string  `json:"why"`
	Measure *string `json:"measure"` // how to find out; set on every unknown
	Fix     *string `json:"fix"`     // set on every needs_work and does_not_fit

	Group string `json:"-"` // the line of the short list it belongs to: base, emitter, supply, …
	Owner Owner  `json:"-"` // of an unknown: who can settle it
	Soft  bool   `json:"-"` // of an unknown: does not make the overall verdict unknown
	// Decides says of a gap in the bulb's record that it can keep the bulb out of
	// this lamp, although it lit up in one like it.
	Decides bool   `json:"-"`
	Part    string `json:"-"` // of needs_work: a part to buy beside the bulb, or empty
}

// ToMeasure is one thing the owner has to find out on the car. Need is what the
// value must be for this bulb to fit; AtLeast and AtMost are the same as
// numbers, in Unit, nil where they do not apply.
type ToMeasure struct {
	What string  `json:"what"`
	Need *string `json:"need"`
	Unit *string `json:"unit"`
	How  string  `json:"how"`

	Check   string   `json:"-"`
	Urgent  int      `json:"-"` // a lower one spoils a purchase more often
	AtLeast *float64 `json:"-"`
	AtMost  *float64 `json:"-"`
}

// Report is the fit of one bulb in one lamp.
type Report struct {
	Overall   Verdict     `json:"overall"`
	Unknowns  []string    `json:"unknowns"` // ids of the checks that are unknown, soft ones included
	Checks    []Finding   `json:"checks"`
	After     []string    `json:"after"` // what to look at after fitting; empty when it does not fit
	ToMeasure []ToMeasure `json:"-"`
}

// Check runs every check that applies, in the order of the table. A number that
// is not finite, or a negative length, counts as missing. Rules are taken as
// they are; data.FitRules.Validate tells whether they make sense. The result
// depends on the arguments only, and no list in it is nil.
func Check(bulb Bulb, lamp Lamp, rules data.FitRules) Report {
	cleaned(&bulb, bulbNumbers)
	cleaned(&lamp, lampNumbers)
	asked := question{bulb: &bulb, lamp: &lamp, rules: rules}
	report := Report{Overall: Fits, Unknowns: []string{}, Checks: make([]Finding, 0, len(table)), After: []string{}, ToMeasure: []ToMeasure{}}
	open, words := false, make([]string, 0, wordsOf*len(table))
	for i := range table {
		entry := &table[i]
		if bulb.Kind == data.KindHalogen && !entry.halogen {
			continue
		}
		outcome := entry.run(&asked)
		if !outcome.applies {
			continue
		}
		finding := outcome.finding(entry, &words)
		finding.Decides = entry.decides != nil && entry.decides(&lamp)
		report.Checks = append(report.Checks, finding)
		asked.done = report.Checks
		for _, item := range outcome.ask {
			item.Check, item.Urgent = entry.id, cmp.Or(entry.urgent, len(table))
			report.ToMeasure = merged(report.ToMeasure, item)
		}
		if finding.Verdict == Unknown {
			if entry.parts {
				asked.partsOpen = append(asked.partsOpen, finding)
			}
			report.Unknowns = append(report.Unknowns, entry.id)
			open = open || !finding.Soft
		}
		if finding.Verdict.severity() > report.Overall.severity() {
			report.Overall = finding.Verdict
		}
	}
	if report.Overall == Fits && open {
		report.Overall = Unknown
	}
	if report.Overall != DoesNotFit {
		report.After = after(&asked)
	}
	return report
}

// Missing returns the findings that are unknown, not soft, and belong to the
// owner given.
func (r Report) Missing(owner Owner) []Finding {
	return r.those(func(f *Finding) bool { return f.Verdict == Unknown && !f.Soft && f.Owner == owner })
}

// Against returns the findings that say the bulb does not fit.
func (r Report) Against() []Finding {
	return r.those(func(f *Finding) bool { return f.Verdict == DoesNotFit })
}

func (r Report) those(are func(*Finding) bool) (list []Finding) {
	for i := range r.Checks {
		if are(&r.Checks[i]) {
			list = append(list, r.Checks[i])
		}
	}
	return list
}

// merged adds an item to the list. The same thing to measure is listed once,
// with the stricter need.
func merged(list []ToMeasure, item ToMeasure) []ToMeasure {
	i := slices.IndexFunc(list, func(t ToMeasure) bool { return t.What == item.What })
	switch {
	case i < 0:
		return append(list, item)
	case list[i].Need == nil,
		list[i].AtLeast != nil && item.AtLeast != nil && *item.AtLeast > *list[i].AtLeast,
		list[i].AtMost != nil && item.AtMost != nil && *item.AtMost < *list[i].AtMost:
		item.Check, item.Urgent = list[i].Check, list[i].Urgent
		list[i] = item
	}
	return list
}

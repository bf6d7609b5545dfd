package reply

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"stillbright/data"
	"stillbright/data/quantity"
	"stillbright/recommend"
	"stillbright/recommend/need"
	"stillbright/recommend/question"
)

// mostLamps is how many lamps of one question are answered: no vehicle has more
// kinds.
const mostLamps = 8

// needs makes one need for each lamp of the question whose size is known: said,
// or that of a car of the catalog. The notes say what was left out.
func (r *Replier) needs(u question.Understood, words said) ([]recommend.Need, []string) {
	var all []recommend.Need
	seen := map[string]bool{}
	var notes []string
	lamps := slices.Clone(u.Lamps)
	if len(lamps) == 0 {
		lamps = []question.Lamp{{}}
	}
	lamps = slices.Compact(lamps)
	if len(lamps) > mostLamps {
		notes = append(notes, fmt.Sprintf("Answered for the first %d lamps; ask about the others one by one.", mostLamps))
		lamps = lamps[:mostLamps]
	}
	for _, lamp := range lamps {
		n, lampNotes := r.needOf(u, lamp, words, len(lamps) == 1)
		notes = append(notes, lampNotes...)
		if key := need.Command(n); n.Size != "" && !seen[key] {
			all, seen[key] = append(all, n), true
		}
	}
	slices.Sort(notes)
	return all, slices.Compact(notes)
}

// needOf is the need of one lamp of a question, as pick would build it from flags.
func (r *Replier) needOf(u question.Understood, lamp question.Lamp, words said, alone bool) (recommend.Need, []string) {
	var notes []string
	n := recommend.Need{Size: string(lamp.Size), Beam: string(lamp.Beam)}
	id := r.options.Car
	if id == "" {
		id = string(u.Car)
	}
	if car, ok := r.catalog.Car(id); ok {
		if ofCar, ok := r.fromCar(car, lamp); ok {
			n = ofCar
		} else {
			notes = append(notes, fmt.Sprintf("The car %s of the catalog has no such lamp; it has %s.", car.ID, recommend.LampList(car)))
		}
	}
	if lamp.Housing != "" {
		n.Housing = recommend.Word(lamp.Housing)
	}
	for _, f := range need.Hear(&n, u, r.known()) {
		notes = append(notes, fmt.Sprintf("The %s was left out: it is not from %s to %s.", f.Noun, quantity.Number(f.Least), quantity.Number(f.Most)))
	}
	notes = append(notes, r.takeSupply(&n, words)...)
	if r.options.Override != nil {
		r.options.Override(&n, alone)
	}
	if note := r.mendBeam(&n); note != "" {
		notes = append(notes, note)
	}
	return n, notes
}

// known is what the words of a question are held against.
func (r *Replier) known() need.Known {
	return need.Known{Places: r.know.Places, Roads: r.know.ProfileNames()}
}

// runningVolts is what the plug of a 24 V vehicle reads with the engine running.
const runningVolts = 28

// takeSupply takes a 24 V vehicle and a lamp fed with alternating current from the
// question: a bulb for the usual supply would be destroyed there.
func (r *Replier) takeSupply(n *recommend.Need, words said) []string {
	var notes []string
	if n.Volts == nil && words.hasAny(r.topics.volts24) {
		volts := float64(runningVolts)
		n.Volts = &volts
		notes = append(notes, fmt.Sprintf("A 24 V vehicle: %d V taken at the plug.", runningVolts))
	}
	if n.Polarity == "" && words.hasAny(r.topics.feedAC) {
		n.Polarity = "ac"
		notes = append(notes, "A lamp fed with alternating current.")
	}
	return notes
}

// fromCar starts a need from the lamp of a car that the question means: its size
// and beam as far as they were said. A bulb that does both beams is meant by
// either.
func (r *Replier) fromCar(car data.Car, lamp question.Lamp) (recommend.Need, bool) {
	for _, beam := range []string{string(lamp.Beam), data.BeamBoth} {
		if need, err := recommend.NeedOfCar(r.know, car, string(lamp.Size), beam); err == nil {
			return need, true
		}
	}
	return recommend.Need{}, false
}

// mendBeam leaves a beam out that the size does not serve: the size decides, and
// the note tells the asker to look again.
func (r *Replier) mendBeam(n *recommend.Need) string {
	if n.Beam == "" || n.Size == "" {
		return ""
	}
	match, _, ok := data.FindSize(r.know.Sizes, n.Size)
	if !ok || match.Size.Discharge || recommend.BeamFits(match.Size, n.Beam) == nil {
		return ""
	}
	note := fmt.Sprintf("%s is not known as a bulb for %s beam; answered for its usual one. Read the size on the bulb again.", match.Size.Category, n.Beam)
	n.Beam = ""
	return note
}

// heard lists the words of each slot, by slot.
func heard(u question.Understood) []Heard {
	all := []Heard{}
	for slot, spans := range u.Spans {
		for _, span := range spans {
			name, _, _ := strings.Cut(slot, "[")
			sure := 1.0
			if p, ok := u.Sure[name]; ok {
				sure = p
			}
			all = append(all, Heard{slot, tidy(span.Text), sure})
		}
	}
	slices.SortFunc(all, func(a, b Heard) int {
		return cmp.Or(strings.Compare(a.Slot, b.Slot), strings.Compare(a.Text, b.Text))
	})
	return all
}

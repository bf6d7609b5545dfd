package recommend

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"stillbright/data"
	"stillbright/recommend/question"
)

// wanted is the need of one lamp of a question, as pick would build it from
// flags.
type wanted struct {
	need Need
	car  string // id, where the lamp is one of a car of the catalog
}

// mostLamps is how many lamps of one question are answered: no vehicle has more
// kinds.
const mostLamps = 8

// Ranges of what the flags of a need take. What lies outside is no drive, speed,
// room or colour and is left out.
const (
	tripLeast, tripMost   = 1, 24 * 60
	speedLeast, speedMost = 5, 200
	rearMost              = 500
	cctLeast, cctMost     = 1000, 30000
)

// needs makes one need for each lamp of the question whose size is known: said,
// or that of a car of the catalog. The notes say what was left out.
func (r *Replier) needs(u question.Understood, words said) ([]wanted, []string) {
	var all []wanted
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
		w, lampNotes := r.needOf(u, lamp, words, len(lamps) == 1)
		notes = append(notes, lampNotes...)
		same := func(other wanted) bool { return CommandLine(other.need, other.car) == CommandLine(w.need, w.car) }
		if w.need.Size != "" && !slices.ContainsFunc(all, same) {
			all = append(all, w)
		}
	}
	slices.Sort(notes)
	return all, slices.Compact(notes)
}

func (r *Replier) needOf(u question.Understood, lamp question.Lamp, words said, alone bool) (wanted, []string) {
	var notes []string
	w := wanted{need: Need{Size: string(lamp.Size), Beam: string(lamp.Beam)}}
	id := r.options.Car
	if id == "" {
		id = string(u.Car)
	}
	if car, ok := r.catalog.Car(id); ok {
		if need, ok := r.fromCar(car, lamp); ok {
			w.need, w.car = need, car.ID
		} else {
			notes = append(notes, fmt.Sprintf("The car %s of the catalog has no such lamp; it has %s.", car.ID, lampList(car)))
		}
	}
	n := &w.need
	if lamp.Housing != "" {
		n.Housing = Word(lamp.Housing)
	}
	n.Driving = slices.Clone(u.Driving)
	notes = append(notes, r.takeNumbers(n, u)...)
	if u.Canbus != nil {
		n.Canbus = u.Canbus
	}
	if u.Driver != "" {
		n.Driver = Word(u.Driver)
	}
	if u.Climate != "" {
		n.Climate = Word(u.Climate)
	}
	n.PlugAndPlay = u.PlugAndPlay != nil && *u.PlugAndPlay
	if u.Where != "" {
		if place, _, ok := data.FindPlace(r.know.Places, string(u.Where)); ok {
			n.Where = Word(place.Code)
		}
	}
	notes = append(notes, r.takeSupply(n, words)...)
	if r.options.Override != nil {
		r.options.Override(n, alone)
	}
	if note := r.mendBeam(n); note != "" {
		notes = append(notes, note)
	}
	return w, notes
}

// takeNumbers takes what the flags of a need would take.
func (r *Replier) takeNumbers(n *Need, u question.Understood) []string {
	var notes []string
	take := func(value *float64, what string, least, most float64, set func(float64)) {
		switch {
		case value == nil:
		case !(*value >= least && *value <= most):
			notes = append(notes, fmt.Sprintf("The %s was left out: it is not from %s to %s.", what, plainText(least), plainText(most)))
		default:
			set(hundredths(*value))
		}
	}
	take(u.TripMin, "drive in minutes", tripLeast, tripMost, func(v float64) { n.TripMin = v })
	take(u.SpeedKmh, "speed in km/h", speedLeast, speedMost, func(v float64) { n.SpeedKmh = &v })
	take(u.RearClearanceMM, "room behind the lamp in mm", 0, rearMost, func(v float64) { n.RearClearanceMM = &v })
	take(u.CCTK, "colour temperature in K", cctLeast, cctMost, func(v float64) { n.CCTK = &v })
	if b := u.Budget; b != nil && b.Amount > 0 {
		n.Budget = &Budget{Amount: hundredths(b.Amount), Currency: Word(b.Currency), Per: string(b.Per)}
	}
	return notes
}

// runningVolts is what the plug of a 24 V vehicle reads with the engine running.
const runningVolts = 28

// takeSupply takes a 24 V vehicle and a lamp fed with alternating current from the
// question: a bulb for the usual supply would be destroyed there.
func (r *Replier) takeSupply(n *Need, words said) []string {
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

// hundredths rounds what came from a conversion to what can be typed.
func hundredths(v float64) float64 { return math.Round(100*v) / 100 }

// fromCar starts a need from the lamp of a car that the question means: its size
// and beam as far as they were said. A bulb that does both beams is meant by
// either.
func (r *Replier) fromCar(car data.Car, lamp question.Lamp) (Need, bool) {
	for _, beam := range []string{string(lamp.Beam), data.BeamBoth} {
		if need, err := NeedOfCar(r.know, car, string(lamp.Size), beam); err == nil {
			return need, true
		}
	}
	return Need{}, false
}

// mendBeam leaves a beam out that the size does not serve: the size decides, and
// the note tells the asker to look again.
func (r *Replier) mendBeam(n *Need) string {
	if n.Beam == "" || n.Size == "" {
		return ""
	}
	match, _, ok := data.FindSize(r.know.Sizes, n.Size)
	if !ok || match.Size.Discharge || beamFits(match.Size, n.Beam) == nil {
		return ""
	}
	note := fmt.Sprintf("%s is not known as a bulb for %s beam; answered for its usual one. Read the size on the bulb again.", match.Size.Category, n.Beam)
	n.Beam = ""
	return note
}

// understood copies what was read into the document.
func understood(u question.Understood) Understood {
	out := Understood{
		Lamps: []UnderstoodLamp{}, Driving: list(u.Driving), RearClearanceMM: u.RearClearanceMM, Canbus: u.Canbus, Driver: Word(u.Driver),
		Where: Word(u.Where), TripMin: u.TripMin, SpeedKmh: u.SpeedKmh, Climate: Word(u.Climate), CCTK: u.CCTK,
		PlugAndPlay: u.PlugAndPlay, Car: Word(u.Car),
	}
	for _, lamp := range u.Lamps {
		out.Lamps = append(out.Lamps, UnderstoodLamp{Word(lamp.Size), Word(lamp.Beam), Word(lamp.Housing)})
	}
	if u.Budget != nil {
		out.Budget = &UnderstoodBudget{u.Budget.Amount, Word(u.Budget.Currency), Word(u.Budget.Per)}
	}
	return out
}

// heard lists the words of each slot, by slot.
func heard(u question.Understood) []Heard {
	all := []Heard{}
	for slot, spans := range u.Spans {
		for _, span := range spans {
			all = append(all, Heard{slot, tidy(span.Text)})
		}
	}
	slices.SortFunc(all, func(a, b Heard) int {
		return cmp.Or(strings.Compare(a.Slot, b.Slot), strings.Compare(a.Text, b.Text))
	})
	return all
}

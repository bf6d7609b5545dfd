package recommend

import (
	"fmt"
	"slices"

	"stillbright/data"
	"stillbright/fitment"
	"stillbright/recommend/need"
)

// otherwise names the next bulb worth buying that needs less room behind the
// lamp than the one that is named, when that room is not known.
func (d *decision) otherwise(pick *Pick, b *ballot) *Otherwise {
	named := BulbOf(pick, string(pick.Answer.Bulb))
	if named.Kind != data.KindLED {
		return nil
	}
	first, ok := d.roomFor(named)
	if !ok {
		return nil
	}
	for _, r := range b.inOrder(func(r *Ranked) bool { return r.Kind == data.KindLED && !d.forbids(pick.Law, r) && b.worthBuying(r) }) {
		if needs, ok := d.roomFor(*r); ok && needs < first {
			return &Otherwise{Bulb: r.Bulb, Under: first, Needs: needs, Unit: "mm"}
		}
	}
	return nil
}

// roomFor is the room behind the lamp that a bulb needs, when the owner's is
// not known.
func (d *decision) roomFor(r Ranked) (mm float64, ok bool) {
	report := d.know.fitOf(r.judged.bulb, d.need, d.size, true, nil)
	for _, item := range report.ToMeasure {
		if item.Check == "rear" && item.AtLeast != nil && item.Unit != nil && *item.Unit == "mm" {
			return *item.AtLeast, true
		}
	}
	return 0, false
}

// toMeasure lists what the owner has to find out before ordering: first for
// the leader, then what the next bulbs ask beyond it.
func (d *decision) toMeasure(pick *Pick) []fitment.ToMeasure {
	list := []fitment.ToMeasure{}
	if d.need.Housing == "" {
		list = append(list, fitment.ToMeasure{What: "housing of the lamp",
			How: "look in from the front: a glass ball is a projector, a mirrored bowl a reflector"})
	}
	seen := map[string]bool{}
	const leaders = 3 // the bulbs an owner really chooses between
	leading := slices.Clone(pick.Ranked)
	slices.SortStableFunc(leading, func(a, b Ranked) int { return named(pick, a) - named(pick, b) })
	for i, r := range leading {
		if i >= leaders {
			break
		}
		if r.Kind != data.KindLED {
			continue
		}
		report := d.know.fitOf(r.judged.bulb, d.need, d.size, r.judged.seen, nil)
		items := slices.DeleteFunc(slices.Clone(report.ToMeasure), func(item fitment.ToMeasure) bool { return soft(report, item.Check) })
		slices.SortStableFunc(items, func(a, b fitment.ToMeasure) int { return a.Urgent - b.Urgent })
		for _, item := range items {
			if !seen[item.What] {
				seen[item.What] = true
				list = append(list, item)
			}
		}
	}
	return list
}

// named is a bulb's place among those that the answer names; behind them for the
// others.
func named(pick *Pick, r Ranked) int {
	if i := slices.Index(pick.Answer.AnyOf, r.Bulb); i >= 0 {
		return i
	}
	return len(pick.Answer.AnyOf)
}

// soft says whether a check's unknown does not decide, so that nobody has to
// measure for it: a filament's length, for one, where the beam was seen in a
// lamp like the owner's.
func soft(report fitment.Report, check string) bool {
	return slices.ContainsFunc(report.Checks, func(f fitment.Finding) bool { return f.Check == check && f.Soft })
}

// bulbCautions are what to know about a bulb beside its figures.
func (d *decision) bulbCautions(bulb *data.Bulb, list []view) []string {
	var cautions []string
	if bulb.Price != nil && bulb.Per == "" {
		cautions = append(cautions, "The price does not say whether it buys one bulb or two; one is taken.")
	}
	if d.need.Lens == need.LensHazy && bulb.Kind == data.KindLED {
		cautions = append(cautions, "A hazy lens throws more of a brighter bulb's light into other eyes: polish or replace the lens before you change the bulb.")
	}
	cct := bulb.Claims.CCT
	for _, v := range list {
		for _, t := range v.evidence.tests {
			cct = firstKnown(t.test.CCT, cct)
		}
	}
	rules := d.know.Rules.Choice
	if wish := d.need.CCTK; wish != nil && cct != nil && abs(*cct-*wish) > rules.CCTTolerance.Value {
		cautions = append(cautions, fmt.Sprintf("Its colour is %.0f K; you wished %.0f K.", *cct, *wish))
	}
	if cct != nil && *cct > rules.WrongCCT.Value {
		cautions = append(cautions, fmt.Sprintf("%.0f K is past the end of legal white; it may fail an inspection.", *cct))
	}
	return append(cautions, d.claimCautions(bulb, list)...)
}

func abs(v float64) float64 {
	if v < 0 {
		return -v
	}
	return v
}

// LawBeam is the beam whose law stands under the answer. A bulb that does low
// and high is a low beam first.
func LawBeam(beam string) string {
	if beam == data.BeamBoth {
		return data.BeamLow
	}
	return beam
}

// NeedOfCar starts a need from a car of the catalog: the lamp is chosen by size
// and beam, where given, else the low beam is taken.
func NeedOfCar(k *Knowledge, car data.Car, size, beam string) (Need, error) {
	lamp, err := lampOf(k, car, size, beam)
	if err != nil {
		return Need{}, err
	}
	need := Need{
		Car: car.ID, Size: lamp.Size, Beam: lamp.Beam, Climate: Word(car.Climate), Canbus: car.Canbus,
		Volts: car.Volts, Where: Word(car.Where), Lamp: &lamp, Cycle: car.Cycle, Load: car.Load,
	}
	need.FromLamp()
	return need, nil
}

func lampOf(k *Knowledge, car data.Car, size, beam string) (data.Lamp, error) {
	if size != "" {
		found, err := k.Size(size)
		if err != nil {
			return data.Lamp{}, err
		}
		size = found.Category
	}
	var fitting []data.Lamp
	for _, lamp := range car.Lamps {
		if (size == "" || lamp.Size == size) && (beam == "" || lamp.Beam == beam) {
			fitting = append(fitting, lamp)
		}
	}
	if len(fitting) == 0 {
		return data.Lamp{}, &NeedError{
			Message: fmt.Sprintf("car %q has no lamp with that size and beam; it has %s", car.ID, LampList(car)),
			Hint:    "leave out --size or --beam",
		}
	}
	for _, wanted := range []string{data.BeamLow, data.BeamBoth} {
		for _, lamp := range fitting {
			if lamp.Beam == wanted {
				return lamp, nil
			}
		}
	}
	return fitting[0], nil
}

func LampList(car data.Car) string {
	text := ""
	for i, lamp := range car.Lamps {
		if i > 0 {
			text += ", "
		}
		text += lamp.Size + " " + lamp.Beam
	}
	return text
}

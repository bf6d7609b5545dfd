package recommend

import (
	"stillbright/recommend/need"
	"stillbright/recommend/road"
)

// before is what to look at before any bulb is bought: dim lights are usually
// low volts at the plug, hazy lenses, old halogens or bad aim. What the owner's
// own answers point at is marked First; the rest says what it would cost.
func (d *decision) before() []Before {
	// An owner who gave no volts sees what a worn circuit costs.
	example, years, low := 12.0, 3.0, 0.5
	in := road.BeforeInput{
		Volts: &example, LensHazy: true, HalogenYears: &years,
		AimLowDeg: &low, LampHeightM: 0.65, DipDeg: 0.57, // a car's lamp at the usual 1 %
	}
	measured := d.need.Volts
	if measured != nil {
		in.Volts = measured
	}
	costs, err := road.BeforeBuying(in)
	if err != nil {
		return []Before{}
	}
	list := []Before{}
	for _, cost := range costs {
		first := cost.Cause == road.CauseVolts && measured != nil && *measured < d.know.Rules.Choice.LowVolts.Value ||
			cost.Cause == road.CauseHalogens && d.need.Halogens == need.HalogensOld || cost.Cause == road.CauseLens && d.need.Lens == need.LensHazy
		text := cost.Text
		if cost.Cause == road.CauseVolts && measured == nil {
			text = "If your plug has low volts: " + text
		} else if cost.Cause == road.CauseAim {
			text = "If the aim is off, for example: " + text
		}
		list = append(list, Before{What: cost.Cause, CostPct: cost.LossMost, CostPctLeast: cost.LossLeast, Text: text, First: first, Source: cost.Source})
	}
	return list
}

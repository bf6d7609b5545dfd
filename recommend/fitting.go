package recommend

import (
	"stillbright/data"
	"stillbright/fitment"
)

// fitOf runs the fit checks of a bulb in the owner's lamp.
func (k *Knowledge) fitOf(bulb *data.Bulb, n Need, size data.Size, patternMeasured bool, spreadPct *float64) fitment.Report {
	return fitment.Check(bulbFacts(bulb, patternMeasured, spreadPct), lampFacts(n, size), k.Fit)
}

// bulbFacts hands the record of a bulb to the fit checks as plain numbers.
func bulbFacts(b *data.Bulb, patternMeasured bool, spreadPct *float64) fitment.Bulb {
	facts := fitment.Bulb{
		Kind: b.Kind, Size: b.Size, AlsoFits: b.AlsoFits,
		Collar: b.Build.Collar, CollarMM: b.Build.CollarThick, PlugAngle: b.Build.PlugAngle, ClockingDeg: b.Build.ClockingOff,
		FrontDiameterMM: b.Build.FrontDia, BodyDiameterMM: b.Build.BodyDia, TipMM: b.Build.Tip,
		EmitterMM: b.Build.Emitter, StripMM: b.Build.Strip, StripWidthMM: b.Build.StripWidth, BoardMM: b.Build.Board,
		MismatchMM: b.Build.Mismatch, Cup: b.Build.Cup, HighAlone: b.Build.HighAlone,
		RearMM: b.Build.Rear, CableBendMM: b.Build.CableBend, CableMM: b.Build.Cable,
		DriverMM: b.Supply.DriverLen, Plug: b.Supply.Plug, Driver: b.Supply.Driver, AdapterIncluded: b.Build.Adapter,
		VoltsMin: b.Supply.VoltsMin, VoltsMax: b.Supply.VoltsMax, Polarity: b.Supply.Polarity,
		AC: b.Supply.AC, Pulsed: b.Supply.Pulsed, Watts: b.Supply.Watts, AmpsAt135: b.Supply.Amps,
		InrushA: b.Supply.Inrush, BulbOut: b.Supply.BulbOut,
		Cooling: b.Build.Cooling, IngressWhole: b.Build.IngressBody, MassG: b.Build.Mass,
		SeatingSpreadPct: spreadPct, PatternMeasured: patternMeasured,
	}
	if b.Build.Clocking != "" {
		adjustable := b.Build.Clocking == "adjustable"
		facts.Adjustable = &adjustable
	}
	return facts
}

// lampFacts hands the owner's lamp, car and wishes to the fit checks.
func lampFacts(n Need, size data.Size) fitment.Lamp {
	facts := fitment.Lamp{
		Size: n.Size, SameBase: size.Aliases, Beam: n.Beam, Housing: string(n.Housing),
		Filament: size.Filament, LightCentreMM: size.LightCentreMM, FilamentMM: size.FilamentMM, CupInSize: size.LowCup,
		RearClearanceMM: n.RearClearanceMM, FrontClearanceMM: n.FrontClearanceMM,
		Volts: n.Volts, Polarity: string(n.Polarity), Canbus: n.Canbus,
		AllowedDriver: string(n.Driver), PlugAndPlay: n.PlugAndPlay, Climate: string(n.Climate), Motorcycle: n.Cycle,
	}
	if facts.Volts == nil {
		twelve := 12.0 // cars are 12 V unless their owner says otherwise; the notes say so
		facts.Volts = &twelve
	}
	if size.Filament == "none" {
		facts.Filament = ""
	}
	for _, variant := range size.Variants {
		facts.SameBase = append(facts.SameBase[:len(facts.SameBase):len(facts.SameBase)], variant.Name)
	}
	if size.Filaments != nil {
		facts.Filaments = *size.Filaments
	}
	for _, similar := range size.SimilarNotSame {
		facts.NearMisses = append(facts.NearMisses, fitment.NearMiss{Size: similar.Size, Why: similar.Why})
	}
	for _, function := range size.Functions {
		if function.RatedW != nil && (facts.HalogenWatts == nil || *function.RatedW > *facts.HalogenWatts) {
			facts.HalogenWatts = function.RatedW
		}
	}
	if !size.Discharge {
		// The size of a halogen bulb was read off the old bulb, so it is a
		// halogen lamp unless the record of the lamp says otherwise.
		facts.Technology = fitment.TechnologyHalogen
	}
	if lamp := n.Lamp; lamp != nil {
		facts.Technology = cmpOr(lamp.Technology, facts.Technology)
		facts.HoleMM, facts.RearOpenMM, facts.CapDiameterMM, facts.Cap = lamp.Hole, lamp.RearOpen, lamp.CapDia, lamp.Cap
		facts.FlangeMM, facts.AdapterKnown, facts.Plug = lamp.Flange, lamp.AdapterOK, lamp.Plug
		facts.Retention, facts.ForcedDeg, facts.FocalMM = lamp.Retention, lamp.ForcedOff, lamp.Focal
		facts.CablePathMM, facts.DriverRoomMM = lamp.CableRoom, lamp.DriverRoom
		facts.Feed, facts.BulbOutA = lamp.Feed, lamp.BulbOutA
	}
	return facts
}

package recommend

import (
	"stillbright/data"
	"stillbright/fitment"
)

// fitOf runs the fit checks of a bulb in the owner's lamp.
func (k *Knowledge) fitOf(bulb *data.Bulb, n Need, size data.Size, patternMeasured bool, spreadPct *float64) fitment.Report {
	return fitment.Check(fitment.Bulb{Bulb: *bulb, PatternMeasured: patternMeasured, SpreadPct: spreadPct}, fittedLamp(n, size), k.Fit)
}

// fittedLamp is the owner's lamp as the fit checks take it: the record, and over
// it what the owner said.
func fittedLamp(n Need, size data.Size) fitment.Lamp {
	lamp := fitment.Lamp{
		Of:            size,
		Car:           data.Car{Volts: n.Volts, Canbus: n.Canbus, Climate: string(n.Climate), Cycle: n.Cycle},
		AllowedDriver: string(n.Driver), PlugAndPlay: n.PlugAndPlay,
	}
	if lamp.Car.Volts == nil {
		twelve := 12.0 // cars are 12 V unless their owner says otherwise; the notes say so
		lamp.Car.Volts = &twelve
	}
	if n.Lamp != nil {
		lamp.Lamp = *n.Lamp
	}
	if lamp.Technology == "" && !size.Discharge {
		// The size of a halogen bulb was read off the old bulb, so it is a
		// halogen lamp unless the record of the lamp says otherwise.
		lamp.Technology = fitment.TechnologyHalogen
	}
	lamp.Size, lamp.Beam, lamp.Housing, lamp.Polarity = n.Size, n.Beam, string(n.Housing), string(n.Polarity)
	lamp.Rear, lamp.Front = n.RearClearanceMM, n.FrontClearanceMM
	return lamp
}

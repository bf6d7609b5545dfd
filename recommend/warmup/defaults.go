package warmup

// Defaults are what VsStock takes for facts that a record does not hold. Each stands at its worst
// plausible value, so that leaving a fact out never helps a bulb.
type Defaults struct {
	ReferenceVolts   float64 `yaml:"reference_v"`        // both readings are stated at this voltage
	HalogenExponent  float64 `yaml:"halogen_exponent"`   // flux of a halogen goes with volts to this power
	ExponentLimit    float64 `yaml:"exponent_limit"`     // the exponent is within this, either way
	VoltsLow         float64 `yaml:"volts_low_v"`        // least volts at the plug of a bench
	VoltsHigh        float64 `yaml:"volts_high_v"`       // most volts at the plug of a bench
	SameDayVolts     float64 `yaml:"same_day_volts_v"`   // two readings of one day differ by no more
	VoltsLimit       float64 `yaml:"volts_limit_v"`      // a voltage read at the plug is within this
	RepeatPct        float64 `yaml:"repeat_pct"`         // standard deviation of one reading
	StockDriftPct    float64 `yaml:"stock_drift_pct"`    // most that stock moves between first and last
	StockTolPct      float64 `yaml:"stock_tol_pct"`      // limit of the flux of one halogen about its size's
	SeatingSpreadPct float64 `yaml:"seating_spread_pct"` // standard deviation of one seating
	SampleSpreadPct  float64 `yaml:"sample_spread_pct"`  // standard deviation from one LED bulb to the next
	FixedPointPct    float64 `yaml:"fixed_point_pct"`    // limit for a reading off the hot spot
	CapOffPct        float64 `yaml:"cap_off_pct"`        // most that a closed cap takes from the hot light
	LeastDistanceMM  float64 `yaml:"least_distance_mm"`  // nearest the meter may have stood
	MovedMM          float64 `yaml:"moved_mm"`           // limit of its distance between the two readings
	TiltDeg          float64 `yaml:"tilt_deg"`           // most it may have been tilted for one of them
	LampSpreadPct    float64 `yaml:"lamp_spread_pct"`    // standard deviation from one lamp to the next
	EvidencePct      float64 `yaml:"evidence_pct"`       // standard deviation for evidence from unlike lamps
}

// StandardDefaults gives the defaults and the reason for each. Where no source is named it is
// common practice or judgement.
func StandardDefaults() Defaults {
	return Defaults{
		ReferenceVolts:   13.2, // test voltage of the UN sheets for 12 V light sources
		HalogenExponent:  3.4,  // rule of the trade (from memory)
		ExponentLimit:    0.8,  // the UN sheet of H17 gives 900/700 and 600/450 lm for 13.2/12.0 V: 2.64 and 3.02
		VoltsLow:         12.0, // a bench on a battery under load
		VoltsHigh:        14.4, // a bench on a charger or a running car
		SameDayVolts:     0.5,  // one supply on one day, lead and load changed
		VoltsLimit:       0.1,  // a hand-held meter and its leads
		RepeatPct:        1,    // a hand-held meter put back on its mark
		StockDriftPct:    2,    // supply, lamp and meter over the hour between first and last
		StockTolPct:      15,   // the widest halogen sheets of UN Regulation 37 (from memory)
		SeatingSpreadPct: 4,    // a bulb taken out and put back moves its hot spot
		SampleSpreadPct:  5,    // flux bins of LEDs and hand-set drivers
		FixedPointPct:    5,    // the hot spot of the LED is not where that of the halogen was
		CapOffPct:        6,    // a closed housing is 20 to 30 K warmer, and white LEDs lose 0.1 to 0.3 % per kelvin (from memory)
		LeastDistanceMM:  1000, // nobody measures a hot spot nearer
		MovedMM:          10,   // a meter on a stand, put back by eye
		TiltDeg:          5,    // by eye; 5 degrees take 0.38 %
		LampSpreadPct:    8,    // lamps of one kind focus a new light source differently
		EvidencePct:      15,   // a projector says little of a reflector
	}
}

// classColour is the V(lambda) mismatch f1' in percent of the illuminance-meter classes of DIN
// 5032-7 (1985). f1' is stated against source A; a white LED read against a halogen is wrong by up
// to about as much, and that does not cancel.
func classColour(class string) (pct float64, ok bool) {
	switch class {
	case "L":
		return 1.5, true
	case "A":
		return 3, true
	case "B":
		return 6, true
	case "C", "":
		return 9, true
	}
	return 0, false
}

func (d Defaults) check() error {
	for _, f := range []struct {
		name            string
		value, low, top float64
	}{
		{"reference volts", d.ReferenceVolts, 6, 32},
		{"halogen exponent", d.HalogenExponent, 1, 6},
		{"exponent limit", d.ExponentLimit, 0, 2},
		{"least volts", d.VoltsLow, 6, 32},
		{"most volts", d.VoltsHigh, d.VoltsLow, 32},
		{"same-day volts", d.SameDayVolts, 0, 3},
		{"volts limit", d.VoltsLimit, 0, 1},
		{"repeat percent", d.RepeatPct, 0, 20},
		{"stock drift percent", d.StockDriftPct, 0, 50},
		{"stock tolerance percent", d.StockTolPct, 0, 50},
		{"seating spread percent", d.SeatingSpreadPct, 0, 50},
		{"sample spread percent", d.SampleSpreadPct, 0, 50},
		{"fixed point percent", d.FixedPointPct, 0, 50},
		{"cap off percent", d.CapOffPct, 0, 50},
		{"least distance mm", d.LeastDistanceMM, 100, 100000},
		{"moved mm", d.MovedMM, 0, 100},
		{"tilt degrees", d.TiltDeg, 0, 45},
		{"lamp spread percent", d.LampSpreadPct, 0, 50},
		{"evidence percent", d.EvidencePct, 0, 100},
	} {
		if err := within(f.name, f.value, f.low, f.top); err != nil {
			return err
		}
	}
	return nil
}

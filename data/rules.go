package data

// Rules are the judgements behind a decision: thresholds, driving profiles and
// weights. Published figures are not here; they live with their formulas.
type Rules struct {
	Format  int         `yaml:"format" req:"1" min:"1" max:"1" doc:"version of this file format; 1"`
	Driving []Profile   `yaml:"driving" req:"1" doc:"one profile for each driving environment"`
	Bench   BenchRules  `yaml:"bench" req:"1" doc:"what is assumed of a bench reading when the record does not say"`
	Gate    GateRules   `yaml:"gate" req:"1" doc:"what sets a bulb aside whatever the weights"`
	Heat    HeatRules   `yaml:"heat" req:"1" doc:"heat value, 0 to 1"`
	Choice  ChoiceRules `yaml:"choice" req:"1" doc:"defaults of a need, and how a result is worded"`
}

// Profile says what counts in one driving environment.
type Profile struct {
	Name    string  `yaml:"name" req:"1" enum:"city|suburban|rural|highway|mountain|rain|fog|snow|offroad" doc:"driving environment"`
	Dim     Judged  `yaml:"dim" req:"1" doc:"hot vs stock at which the output value is 0: clearly dimmer"`
	Enough  Judged  `yaml:"enough" req:"1" doc:"hot vs stock at which more light stops helping: the output value is 1"`
	Output  float64 `yaml:"output" req:"1" min:"0" max:"1" doc:"weight of output"`
	Pattern float64 `yaml:"pattern" req:"1" min:"0" max:"1" doc:"weight of pattern"`
	Heat    float64 `yaml:"heat" req:"1" min:"0" max:"1" doc:"weight of heat"`
	Why     string  `yaml:"why" req:"1" doc:"one line: why these weights"`
}

// BenchRules fill the gaps of a record, always at the worse end.
type BenchRules struct {
	ReferenceVolts      Judged `yaml:"reference_volts" req:"1" doc:"V at the plug at which LED and halogen are compared"`
	VoltsLow            Judged `yaml:"volts_low" req:"1" doc:"V, lowest usual bench supply when the record does not say"`
	VoltsHigh           Judged `yaml:"volts_high" req:"1" doc:"V, highest usual bench supply when the record does not say"`
	Repeat              Judged `yaml:"repeat" req:"1" doc:"percent, standard uncertainty of one reading repeated"`
	Seating             Judged `yaml:"seating" req:"1" doc:"percent, standard uncertainty of seating when it was not repeated"`
	Sample              Judged `yaml:"sample" req:"1" doc:"percent, standard uncertainty from bulb to bulb when one sample was tried"`
	CapOff              Judged `yaml:"cap_off" req:"1" doc:"percent of hot light that a closed cap may cost a bulb tested open"`
	LampProjector       Judged `yaml:"lamp_spread_projector" req:"1" doc:"percent, standard uncertainty from one projector to another"`
	LampReflector       Judged `yaml:"lamp_spread_reflector" req:"1" doc:"percent, standard uncertainty from one reflector to another"`
	LampWeight          Judged `yaml:"lamp_weight" req:"1" doc:"how many bulbs tested in two lamps each the default spread between lamps counts for"`
	LampPattern         Judged `yaml:"lamp_pattern" req:"1" doc:"points of the pattern score, standard deviation from one lamp to another"`
	Sibling             Judged `yaml:"sibling" req:"1" doc:"percent, extra standard uncertainty when another size was tested"`
	OtherHousing        Judged `yaml:"other_housing" req:"1" doc:"percent, extra standard uncertainty when the other housing was tested"`
	TauLow              Judged `yaml:"tau_low" req:"1" doc:"min, shortest usual warm-up time constant"`
	TauHigh             Judged `yaml:"tau_high" req:"1" doc:"min, longest usual warm-up time constant"`
	Enough              Judged `yaml:"enough_to_stop" req:"1" doc:"percent, half-width of the band at the end of the trip at which a warm-up run may stop"`
	HalogenStockPattern Judged `yaml:"halogen_pattern" req:"1" doc:"pattern score of a halogen in the lamp made for it, when the beam was not scored"`
}

// GateRules set a bulb aside.
type GateRules struct {
	StrayLow     Judged `yaml:"stray_low" req:"1" doc:"stray light above a low beam's cutoff, times stock in the same rig"`
	StrayMetered Judged `yaml:"stray_metered" req:"1" doc:"percent, half-width of the 95 % band of a stray-light ratio read with a meter"`
	StrayPhoto   Judged `yaml:"stray_photo" req:"1" doc:"percent, the same of one taken from photos"`
	StrayFog     Judged `yaml:"stray_fog" req:"1" doc:"stray light above a fog beam's cutoff, times stock in the same rig"`
}

// HeatRules make the heat value.
type HeatRules struct {
	BodyGood     Judged `yaml:"body_good" req:"1" doc:"C, body in the owner's lamp at or below which temperature costs nothing"`
	BodyBad      Judged `yaml:"body_bad" req:"1" doc:"C, body at which the temperature part is 0"`
	WattsGood    Judged `yaml:"watts_good" req:"1" doc:"W to the rear that any lamp bears"`
	WattsBad     Judged `yaml:"watts_bad" req:"1" doc:"W to the rear at which the power part is 0"`
	BareMetal    Judged `yaml:"bare_metal" req:"1" doc:"K added to a reading taken on bare metal by an infrared thermometer"`
	ClosedCap    Judged `yaml:"closed_cap" req:"1" doc:"K added when the test was made with the cap off"`
	BehindHot    Judged `yaml:"behind_hot" req:"1" doc:"C, air behind the lamp in a hot climate"`
	BehindMild   Judged `yaml:"behind_mild" req:"1" doc:"C, air behind the lamp in a mild climate"`
	BehindCold   Judged `yaml:"behind_cold" req:"1" doc:"C, air behind the lamp in a cold climate"`
	BenchAir     Judged `yaml:"bench_air" req:"1" doc:"C, bench air when the record does not say"`
	CoolRise     Judged `yaml:"cool_rise" req:"1" doc:"K of body rise below which a strong drop of light means a bad heat path"`
	CoolDrop     Judged `yaml:"cool_drop" req:"1" doc:"percent of light lost that is a strong drop"`
	CoolDropMost Judged `yaml:"cool_drop_most" req:"1" doc:"percent of light lost from which the temperature part is half at most"`
	Bears        Judged `yaml:"bears" req:"1" doc:"C, body in the owner's lamp above which a bulb is ruled out"`
	Droop        Judged `yaml:"droop" req:"1" doc:"percent of light per kelvin, the most a bulb loses in warmer air; counted where its own loss is not known"`
	DroopRise    Judged `yaml:"droop_rise" req:"1" doc:"K, usual rise of the body over which the loss since switch-on is counted"`
	PartBody     Judged `yaml:"part_body" req:"1" doc:"share of the temperature part"`
	PartFold     Judged `yaml:"part_fold_back" req:"1" doc:"share of the fold-back part"`
	PartWatts    Judged `yaml:"part_watts" req:"1" doc:"share of the power part"`
	TouchHazard  Judged `yaml:"touch_hazard" req:"1" doc:"C, body at which half a second's touch of bare metal burns; also where the surface is not known"`
	TouchLacquer Judged `yaml:"touch_lacquered" req:"1" doc:"C, the same for lacquered metal"`
	TouchCeramic Judged `yaml:"touch_ceramic" req:"1" doc:"C, the same for ceramics"`
	TouchPlastic Judged `yaml:"touch_plastic" req:"1" doc:"C, the same for plastics"`
}

// TouchOf is the temperature in C above which half a second's touch of a body burns, by
// the surface that a test records (Test.Surface), or by ceramic or plastic. Painted is
// lacquered metal. Tape is on the metal for the thermometer only and a contact probe says
// nothing of the surface: both, an unknown and any other word count as bare metal, which
// burns first. Source: the rules' own reasons.
func (r HeatRules) TouchOf(surface string) Judged {
	switch surface {
	case "painted":
		return r.TouchLacquer
	case "ceramic":
		return r.TouchCeramic
	case "plastic":
		return r.TouchPlastic
	}
	return r.TouchHazard
}

// ChoiceRules are defaults and wording.
type ChoiceRules struct {
	TripMin        Judged `yaml:"trip" req:"1" doc:"min, trip when none is given"`
	ReflectorShift Judged `yaml:"reflector_shift" req:"1" doc:"weight moved from output to pattern in a reflector"`
	TieProbability Judged `yaml:"tie_probability" req:"1" doc:"chance of being better below which two bulbs are tied"`
	Worth          Judged `yaml:"worth" req:"1" doc:"share of the draws in which a bulb has to beat keeping the fitted halogen to be worth buying"`
	ShapeUnknown   Judged `yaml:"shape_unknown" req:"1" doc:"part of the hot spot's gain that reaches the lane where the shape of the beam is not known; the least for a measured one"`
	LawOldYears    Judged `yaml:"law_old_years" req:"1" doc:"age of a law row after which it is called old"`
	UsualRear      Judged `yaml:"usual_rear" req:"1" doc:"mm behind the bulb that most lamps have; a bulb that needs more waits until it is measured"`
	LowVolts       Judged `yaml:"low_volts" req:"1" doc:"V at the plug below which the supply is mended first"`
	CCTTolerance   Judged `yaml:"cct_tolerance" req:"1" doc:"K off the wish that is mentioned"`
	WrongCCT       Judged `yaml:"blue_cct" req:"1" doc:"K above which a claim is near the end of white"`
}

package data

// CheckRules are the thresholds beyond which a record is called implausible.
// They are judgement; a catalog may hold its own in check.yaml.
type CheckRules struct {
	HotAboveCold Judged `yaml:"hot_above_cold" req:"1" doc:"percent by which an LED's last reading may exceed its first"`
	StockZ       Judged `yaml:"stock_z" req:"1" doc:"robust standard deviations a halogen reading may lie from the others of its rig"`
	StockTests   Judged `yaml:"stock_tests" req:"1" doc:"tests a rig needs before its halogen readings are compared"`
	WattsOver    Judged `yaml:"watts_over" req:"1" doc:"percent by which measured watts may exceed the claim, or the size's greatest power"`
	TimesStock   Judged `yaml:"times_stock" req:"1" doc:"times the halogen's lux, either way, that a bulb may have"`
	CandelaLow   Judged `yaml:"candela_low" req:"1" doc:"cd, least hot spot of a halogen low or high beam"`
	CandelaHigh  Judged `yaml:"candela_high" req:"1" doc:"cd, greatest hot spot of a halogen low or high beam"`
	AmbientLow   Judged `yaml:"ambient_low" req:"1" doc:"C, coldest usual bench"`
	AmbientHigh  Judged `yaml:"ambient_high" req:"1" doc:"C, warmest usual bench"`
}

// DefaultCheckRules returns the thresholds used when a catalog has none of its
// own.
func DefaultCheckRules() CheckRules {
	return CheckRules{
		HotAboveCold: Judged{3, "an LED loses light as it warms; a cheap meter repeats within three percent (common practice)"},
		StockZ:       Judged{3.5, "more than 3.5 is usually called an outlier (Iglewicz and Hoaglin 1993, from memory)"},
		StockTests:   Judged{5, "a median of fewer says little (judgement)"},
		WattsOver:    Judged{15, "a halogen takes 15 percent more at 14.4 V than at 13.2 V, and packs round (computed with the 1.6th power, from memory)"},
		TimesStock:   Judged{5, "foot-candles taken for lux are off by 10.8, a misplaced point by 10 (computed)"},
		CandelaLow:   Judged{1000, "a headlamp's hot spot has ten thousand candela and more, a tenth of that at a short bench (judgement)"},
		CandelaHigh:  Judged{215000, "no single headlamp may exceed 215,000 cd (UN R112, from memory)"},
		AmbientLow:   Judged{5, "a bench below 5 C is a cold garage (judgement)"},
		AmbientHigh:  Judged{45, "a bench is a room at 15 to 30 C; 60 to 90 is Fahrenheit taken for Celsius (common practice)"},
	}
}

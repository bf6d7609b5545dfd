package data

// SizeFile is the file of bulb sizes.
type SizeFile struct {
	Format int    `yaml:"format" req:"1" min:"1" max:"1" doc:"version of this file format; 1"`
	Sizes  []Size `yaml:"sizes" req:"1" doc:"one record for each light-source category"`
}

// Size is one category of light source: what the base, the filament and the flux
// of the stock bulb are. A missing figure was not found; it is not zero.
type Size struct {
	Category        string     `yaml:"category" req:"1" doc:"UN category, or the US type where there is no UN one"`
	Aliases         []string   `yaml:"aliases" doc:"other names of the same category"`
	Variants        []Variant  `yaml:"variants" doc:"names that lead here with a remark"`
	ReadAs          string     `yaml:"read_as" doc:"category that owners mean by this name"`
	ReadAsWhy       string     `yaml:"read_as_why" doc:"one line: why the name is read so"`
	Cap             string     `yaml:"cap" doc:"cap (base) by IEC 60061"`
	Family          string     `yaml:"family" doc:"caps of one family share the mount; the key keeps their categories apart"`
	Filaments       *int       `yaml:"filaments" min:"0" max:"2" doc:"number of filaments; 0 in a discharge lamp"`
	Filament        string     `yaml:"filament" enum:"axial|transverse|none" doc:"how the filament lies"`
	Beams           []string   `yaml:"beams" enum:"low|high|fog|drl" doc:"functions the category serves"`
	Dual            bool       `yaml:"dual" doc:"low and high beam in one bulb"`
	LowCup          *bool      `yaml:"low_cup" doc:"the low filament stands in a metal cup that makes the cutoff; an LED needs one too"`
	Discharge       bool       `yaml:"discharge" doc:"gas discharge lamp: not a halogen lamp, no LED swap is judged"`
	Functions       []Function `yaml:"functions" doc:"power and flux, for each filament"`
	FluxTolPlusPct  *float64   `yaml:"flux_plus" unit:"%" min:"0" max:"100" doc:"tolerance of the flux upwards"`
	FluxTolMinusPct *float64   `yaml:"flux_minus" unit:"%" min:"0" max:"100" doc:"tolerance of the flux downwards"`
	AtV             *float64   `yaml:"at" unit:"V" min:"5" max:"32" doc:"test voltage of power and flux; figures at two voltages are never compared"`
	LightCentreMM   *float64   `yaml:"light_centre" unit:"mm" min:"5" max:"80" doc:"reference plane to filament or arc centre"`
	FilamentMM      *float64   `yaml:"filament_length" unit:"mm" min:"1" max:"15" doc:"length of the filament, from memory where it is not in read_fields"`
	BlackTip        *bool      `yaml:"black_tip" doc:"opaque coating on the tip of the stock bulb"`
	SimilarNotSame  []Similar  `yaml:"similar_not_same" doc:"sizes that look alike and may not be swapped"`
	Source          string     `yaml:"source" req:"1" doc:"where the figures are from"`
	Confidence      string     `yaml:"confidence" req:"1" enum:"read|read_secondary|mixed|memory|not_found" doc:"read in a source, partly read, from memory, or not found"`
	ReadFields      []string   `yaml:"read_fields" enum:"cap|filaments|filament|rated|max|flux|flux_tolerance|at|light_centre|filament_length|black_tip" doc:"keys that were read in a source; the others are from memory"`
	Notes           []string   `yaml:"notes" doc:"remarks"`
}

// Function is what one filament of a size gives.
type Function struct {
	Beam   string   `yaml:"beam" req:"1" enum:"low|high|fog|drl|any" doc:"beam of this filament; any for the only one"`
	RatedW *float64 `yaml:"rated" unit:"W" min:"1" max:"200" doc:"rated power of the 12 V bulb"`
	MaxW   *float64 `yaml:"max" unit:"W" min:"1" max:"200" doc:"greatest power at the test voltage"`
	FluxLm *float64 `yaml:"flux" unit:"lm" min:"50" max:"5000" doc:"objective luminous flux at the test voltage"`
}

// Variant is a name that is close to a category but not quite it.
type Variant struct {
	Name string `yaml:"name" req:"1" doc:"the name"`
	Why  string `yaml:"why" req:"1" doc:"how it differs"`
}

// Similar is a size that owners take for another.
type Similar struct {
	Size string `yaml:"size" req:"1" doc:"category that looks alike"`
	Why  string `yaml:"why" req:"1" doc:"why it may not be swapped"`
}

// FunctionOf returns the filament that serves a beam: the only one, or the one for
// that beam. It is false when the size does not serve the beam or its filaments are
// not known.
func (s Size) FunctionOf(beam string) (Function, bool) {
	serves := false
	for _, own := range s.Beams {
		serves = serves || own == beam
	}
	for _, function := range s.Functions {
		if serves && (function.Beam == beam || function.Beam == "any") {
			return function, true
		}
	}
	return Function{}, false
}

// USFile is the file of US figures.
type USFile struct {
	Format  int        `yaml:"format" req:"1" min:"1" max:"1" doc:"version of this file format; 1"`
	Figures []USFigure `yaml:"figures" req:"1" doc:"one record for each type and filament"`
}

// USFigure is what was filed in the United States under 49 CFR Part 564, at 12.8 V.
// Its flux is about a tenth below the UN figure of the same bulb at 13.2 V; the two
// are kept apart.
type USFigure struct {
	Type       string   `yaml:"type" req:"1" doc:"type as listed"`
	Trade      string   `yaml:"trade" req:"1" doc:"US trade number"`
	Category   string   `yaml:"category" doc:"category in the file of sizes; empty when it has none"`
	Beam       string   `yaml:"beam" req:"1" enum:"low|high|any" doc:"beam of this filament; any for the only one"`
	MaxW       *float64 `yaml:"max" req:"1" unit:"W" min:"1" max:"200" doc:"greatest power at 12.8 V"`
	FluxLm     *float64 `yaml:"flux" req:"1" unit:"lm" min:"50" max:"5000" doc:"nominal flux at 12.8 V"`
	FluxTolLm  *float64 `yaml:"flux_tolerance" unit:"lm" min:"0" max:"1000" doc:"tolerance of the flux, where it is filed in lumens"`
	FluxTolPct *float64 `yaml:"flux_tolerance_pct" unit:"%" min:"0" max:"100" doc:"tolerance of the flux, where it is filed in percent"`
	AtV        *float64 `yaml:"at" req:"1" unit:"V" min:"12.8" max:"12.8" doc:"test voltage; always 12.8 V"`
	Coating    string   `yaml:"coating" req:"1" enum:"none|black_tip|black_stripes" doc:"opaque coating of the stock bulb"`
	Filament   string   `yaml:"filament" req:"1" doc:"filament as listed"`
	Source     string   `yaml:"source" req:"1" doc:"where it was read"`
	Confidence string   `yaml:"confidence" req:"1" enum:"read|read_secondary" doc:"read in the source itself or in a summary of it"`
}

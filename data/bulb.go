package data

import "stillbright/data/quantity"

// Kinds of bulb.
const (
	KindLED     = "led"
	KindHalogen = "halogen"
)

// Beams, as the law, the sizes and the owner's need know them.
const (
	BeamLow  = "low"
	BeamHigh = "high"
	BeamFog  = "fog"
	BeamBoth = "both"
	BeamDRL  = "drl"
)

// Housings.
const (
	Projector = "projector"
	Reflector = "reflector"
)

// Bulb is one replacement bulb in one size, with every lot bought and every
// test made of it. Sizes of one product share Model.
type Bulb struct {
	Format   int             `yaml:"format" req:"1" min:"1" max:"1" doc:"version of this file format; 1"`
	ID       string          `yaml:"id" req:"1" id:"1" doc:"short name used on the command line; the file is called ID.yaml"`
	Name     string          `yaml:"name" req:"1" doc:"name as sold"`
	Model    string          `yaml:"model" id:"1" doc:"the same for every size of one product, so that a sibling can be found"`
	Kind     string          `yaml:"kind" req:"1" enum:"led|halogen" doc:"led or halogen"`
	Size     string          `yaml:"size" req:"1" doc:"bulb size: the UN category where there is one, or an alias"`
	AlsoFits []string        `yaml:"also_fits" doc:"other sizes its base is sold for"`
	Price    *quantity.Money `yaml:"price" doc:"price paid or asked, with currency: 60USD"`
	Per      string          `yaml:"per" enum:"each|pair" doc:"what the price buys"`
	Claims   Claims          `yaml:"claims" doc:"what the pack says"`
	Build    Build           `yaml:"build" doc:"what was measured on the bulb in the hand"`
	Supply   Supply          `yaml:"supply" doc:"how it takes its current"`
	Approval []Approval      `yaml:"approval" doc:"approvals marked on it, for a lamp and vehicle list"`
	Lots     []Lot           `yaml:"lots" doc:"what was bought when, and its tests; the newest lot speaks for the bulb"`
	Source   string          `yaml:"source" req:"1" doc:"who measured, where it is written down"`
	Notes    []string        `yaml:"notes" doc:"free notes"`

	Origin string `yaml:"-" json:"-"` // file it was read from
}

// Claims are advertised figures. They are audited, never ranked.
type Claims struct {
	Lumens *float64 `yaml:"lumens" unit:"lm" bare:"ok" min:"1" max:"1000000" doc:"advertised luminous flux"`
	Watts  *float64 `yaml:"watts" unit:"W" bare:"ok" min:"0.1" max:"1000" doc:"advertised power"`
	CCT    *float64 `yaml:"cct" unit:"K" bare:"ok" min:"1000" max:"30000" doc:"advertised colour temperature"`
	Per    string   `yaml:"per" enum:"each|pair" doc:"whether the pack's lumens and watts are for one bulb or two"`
}

// Build is the bulb as an object: lengths in millimetres from the flange
// reference plane, with the collar on.
type Build struct {
	Collar      string   `yaml:"collar" enum:"fixed|removable|friction|set_screw" doc:"how the ring with the tabs is held"`
	Clocking    string   `yaml:"clocking" enum:"adjustable|fixed" doc:"whether the bulb can be turned in its collar"`
	CollarThick *float64 `yaml:"collar_thickness" unit:"mm" min:"0.1" max:"30" doc:"thickness of the collar where a clip bears"`
	ClockingOff *float64 `yaml:"clocking_off" unit:"deg" min:"0" max:"90" doc:"a fixed bulb's angle off 3 and 9 o'clock when seated"`
	FrontDia    *float64 `yaml:"front_diameter" unit:"mm" min:"1" max:"100" doc:"largest diameter ahead of the flange"`
	BodyDia     *float64 `yaml:"body_diameter" unit:"mm" min:"1" max:"200" doc:"largest diameter behind the flange"`
	Tip         *float64 `yaml:"tip" unit:"mm" min:"1" max:"200" doc:"flange to tip"`
	Emitter     *float64 `yaml:"emitter_depth" unit:"mm" min:"0" max:"100" doc:"flange to the middle of the emitters (for low and high in one: of the low emitters)"`
	Strip       *float64 `yaml:"strip_length" unit:"mm" min:"0.1" max:"60" doc:"length of the emitting strip"`
	StripWidth  *float64 `yaml:"strip_width" unit:"mm" min:"0.1" max:"30" doc:"width of the emitting strip"`
	Board       *float64 `yaml:"board" unit:"mm" min:"0.1" max:"30" doc:"thickness between opposed emitters"`
	Mismatch    *float64 `yaml:"emitter_mismatch" unit:"mm" min:"0" max:"10" doc:"height difference of left and right emitters"`
	Cup         *bool    `yaml:"cup" doc:"low emitters have a cup or ledge under them (sizes with low and high in one)"`
	HighAlone   *bool    `yaml:"high_alone" doc:"high lights the high emitters only, not low and high together"`
	Rear        *float64 `yaml:"rear_length" unit:"mm" min:"0" max:"300" doc:"flange to the rearmost point, plug included"`
	PlugAngle   string   `yaml:"plug_angle" enum:"straight|right" doc:"whether the plug points straight back or turns at a right angle"`
	CableBend   *float64 `yaml:"cable_bend" unit:"mm" min:"0" max:"100" doc:"extra room the cable needs to turn"`
	Cable       *float64 `yaml:"cable" unit:"mm" min:"0" max:"2000" doc:"length of the cable to the driver or plug"`
	Cooling     string   `yaml:"cooling" enum:"fan|fins|braid" doc:"how the heat leaves"`
	IngressBody string   `yaml:"ingress" doc:"ingress code of the weakest part, for example IP54"`
	Mass        *float64 `yaml:"mass" unit:"g" min:"1" max:"2000" doc:"mass of one bulb"`
	Adapter     *bool    `yaml:"adapter_included" doc:"a holder ring for special carriers is in the box"`
}

// Supply is the electrical side.
type Supply struct {
	Driver    string   `yaml:"driver" enum:"internal|inline|external" doc:"where the driver sits"`
	DriverLen *float64 `yaml:"driver_length" unit:"mm" min:"1" max:"300" doc:"longest side of an inline or external driver"`
	Plug      string   `yaml:"plug" doc:"plug code"`
	VoltsMin  *float64 `yaml:"volts_min" unit:"V" bare:"ok" min:"1" max:"60" doc:"lowest supply at which it lights properly"`
	VoltsMax  *float64 `yaml:"volts_max" unit:"V" bare:"ok" min:"1" max:"60" doc:"highest supply it bears"`
	Polarity  string   `yaml:"polarity" enum:"any|normal" doc:"any: lights either way round; normal: only with plus where the halogen's plug usually has it"`
	AC        *bool    `yaml:"ac" doc:"works on an alternating supply"`
	Pulsed    *bool    `yaml:"pulsed" doc:"stays steady on a pulsed or reduced daytime feed"`
	Watts     *float64 `yaml:"watts" unit:"W" bare:"ok" min:"0.1" max:"300" doc:"measured power of one bulb, hot"`
	Amps      *float64 `yaml:"amps" unit:"A" bare:"ok" min:"0.01" max:"30" doc:"measured current at 13.5 V, hot"`
	Inrush    *float64 `yaml:"inrush" unit:"A" bare:"ok" min:"0.01" max:"500" doc:"measured peak at switch-on"`
	BulbOut   string   `yaml:"bulb_out" enum:"built_in|resistor|none" doc:"what it brings against a bulb-out warning"`
}

// Approval is a national or UN approval that names what it is for.
type Approval struct {
	Place  string `yaml:"place" req:"1" doc:"place code whose authority granted it, or UN"`
	Number string `yaml:"number" req:"1" doc:"number as marked"`
	Beam   string `yaml:"beam" req:"1" enum:"low|high|fog" doc:"function it names"`
	Source string `yaml:"source" req:"1" doc:"where this was read"`
}

// Lot is one purchase. Makers change a bulb under the same name, so a figure
// belongs to the lot it was measured on.
type Lot struct {
	Name   string `yaml:"lot" req:"1" doc:"name of the lot: date code or your own"`
	Bought Date   `yaml:"bought" doc:"day it was bought, YYYY-MM-DD"`
	Tests  []Test `yaml:"tests" doc:"tests made on this lot"`
}

// Test is one bulb in one rig on one day.
type Test struct {
	Rig      string         `yaml:"rig" req:"1" doc:"id of the rig"`
	Beam     string         `yaml:"beam" enum:"low|high|fog" doc:"which beam, in a rig that does two"`
	Date     Date           `yaml:"date" req:"1" doc:"day of the test, YYYY-MM-DD"`
	Volts    *float64       `yaml:"volts" unit:"V" bare:"ok" min:"5" max:"32" doc:"supply at the plug, bulb lit"`
	Stock    StockReading   `yaml:"stock" doc:"the halogen in the same rig on the same day"`
	Readings []Reading      `yaml:"readings" doc:"lux at the hot spot against time lit"`
	Point    string         `yaml:"point" enum:"fixed|searched" doc:"meter at one fixed point, or moved to the peak"`
	Cap      string         `yaml:"cap" enum:"on|off" doc:"dust cap on or off during the test"`
	Ambient  *float64       `yaml:"ambient" unit:"C" min:"-40" max:"60" doc:"air temperature at the bench"`
	Body     *float64       `yaml:"body" unit:"C" min:"-40" max:"400" doc:"hottest point of the bulb's body at the last reading"`
	Surface  string         `yaml:"surface" enum:"bare_metal|painted|taped|contact" doc:"what the thermometer saw: bare metal reads low"`
	FoldBack string         `yaml:"fold_back" enum:"none|seen" doc:"whether the driver was seen cutting power to save itself"`
	Watts    *float64       `yaml:"watts" unit:"W" bare:"ok" min:"0.1" max:"300" doc:"power of this bulb in this test, hot"`
	Seatings int            `yaml:"seatings" min:"0" max:"100" doc:"how many times it was taken out and seated again"`
	Spread   *float64       `yaml:"seating_spread" unit:"%" min:"0" max:"100" doc:"largest minus smallest over those seatings, of the mean"`
	Samples  int            `yaml:"samples" min:"0" max:"100" doc:"how many bulbs of the lot were tried"`
	Pattern  *PatternRecord `yaml:"pattern" doc:"the beam on the wall"`
	CCT      *float64       `yaml:"cct" unit:"K" bare:"ok" min:"1000" max:"30000" doc:"measured colour temperature"`
	Notes    []string       `yaml:"notes" doc:"free notes"`
}

// StockReading is the reference: the halogen before and after the bulb.
type StockReading struct {
	First *float64 `yaml:"first" unit:"lx" bare:"ok" min:"0.1" max:"1000000" doc:"stock reading before the bulb"`
	Last  *float64 `yaml:"last" unit:"lx" bare:"ok" min:"0.1" max:"1000000" doc:"stock reading after the bulb"`
	Volts *float64 `yaml:"volts" unit:"V" bare:"ok" min:"5" max:"32" doc:"supply at the plug, halogen lit"`
}

// Reading is one lux reading.
type Reading struct {
	At  float64 `yaml:"at" req:"1" unit:"min" min:"0" max:"1440" doc:"time lit before the reading"`
	Lux float64 `yaml:"lux" req:"1" unit:"lx" bare:"ok" min:"0.1" max:"1000000" doc:"reading"`
}

// PatternRecord is a beam as it was judged: measured parts (grid or photo) or
// marks by eye. A mark and a measured figure of the same part may not stand
// together: one of them would have to be ignored.
type PatternRecord struct {
	Method       string   `yaml:"method" req:"1" enum:"grid|photo|grade" doc:"how it was judged"`
	Marks        *Marks   `yaml:"marks" doc:"five marks by eye, 0 poor to 3 good (method grade)"`
	Parts        *Parts   `yaml:"parts" doc:"measured parts, 0 to 1 (method grid or photo)"`
	StrayVsStock *float64 `yaml:"stray_vs_stock" min:"0" max:"1000" doc:"light above the cutoff, times the stock's in the same rig"`
	StrayLow     *float64 `yaml:"stray_vs_stock_low" min:"0" max:"1000" doc:"low end of its 95 % band, where the measurement knows one"`
	StrayHigh    *float64 `yaml:"stray_vs_stock_high" min:"0" max:"1000" doc:"high end of its 95 % band"`
	OverLimit    *bool    `yaml:"over_limit" doc:"a published limit above the cutoff is exceeded even after the quarter-degree re-aim"`
	G            *float64 `yaml:"g" min:"-5" max:"5" doc:"sharpness factor, where it could be measured"`
	WidthDeg     *float64 `yaml:"width" unit:"deg" min:"0" max:"180" doc:"width at a tenth of the peak"`
	HotSpotH     *float64 `yaml:"hot_spot_h" min:"-90" max:"90" doc:"hot spot, degrees right of the axis"`
	HotSpotV     *float64 `yaml:"hot_spot_v" min:"-90" max:"90" doc:"hot spot, degrees above the axis"`

	Candela []BeamPoint `yaml:"candela" doc:"intensity direction by direction, for distances in metres"`
	CutoffV *float64    `yaml:"cutoff_v" min:"-6" max:"2" doc:"cutoff, degrees above the axis, when those intensities were measured"`
	Notes   []string    `yaml:"notes" doc:"free notes"`
}

// Marks are the five marks by eye, 0 to 3.
type Marks struct {
	Cutoff  *int `yaml:"cutoff" min:"0" max:"3" doc:"3 one clean line as sharp as stock; 0 no line"`
	HotSpot *int `yaml:"hot_spot" min:"0" max:"3" doc:"3 tight under the cutoff where stock's is; 0 split or far off"`
	Stray   *int `yaml:"stray" min:"0" max:"3" doc:"3 as dark above the cutoff as stock; 0 it dazzles"`
	Dark    *int `yaml:"dark" min:"0" max:"3" doc:"3 even; 0 a hole in the road area"`
	Width   *int `yaml:"width" min:"0" max:"3" doc:"3 as wide as stock; 0 a narrow spot"`
}

// Parts are the measured parts of a pattern, 0 worst to 1 best.
type Parts struct {
	Sharpness *float64 `yaml:"sharpness" min:"0" max:"1" doc:"cutoff sharpness"`
	HotSpot   *float64 `yaml:"hot_spot" min:"0" max:"1" doc:"hot spot place and level"`
	Stray     *float64 `yaml:"stray" min:"0" max:"1" doc:"light above the cutoff"`
	Dark      *float64 `yaml:"dark" min:"0" max:"1" doc:"dark spots"`
	Width     *float64 `yaml:"width" min:"0" max:"1" doc:"width and foreground"`
}

// Rig is a lamp on the bench.
type Rig struct {
	Format   int            `yaml:"format" req:"1" min:"1" max:"1" doc:"version of this file format; 1"`
	ID       string         `yaml:"id" req:"1" id:"1" doc:"short name; the file is called ID.yaml"`
	Name     string         `yaml:"name" req:"1" doc:"what it is"`
	Size     string         `yaml:"size" req:"1" doc:"bulb size of the lamp"`
	Beam     string         `yaml:"beam" req:"1" enum:"low|high|fog|both" doc:"what the lamp does"`
	Housing  string         `yaml:"housing" req:"1" enum:"projector|reflector" doc:"projector or reflector"`
	Distance *float64       `yaml:"distance" unit:"m" min:"0.2" max:"200" doc:"lamp to meter"`
	Meter    string         `yaml:"meter_class" enum:"L|A|B|C" doc:"class of the meter (DIN 5032-7); leave out if not known"`
	Point    string         `yaml:"point" enum:"fixed|searched" doc:"meter at one fixed point, or moved to the peak; a test may say otherwise"`
	Stock    *PatternRecord `yaml:"stock_pattern" doc:"the stock halogen's own beam in this rig"`
	Source   string         `yaml:"source" req:"1" doc:"who built it, where it is described"`
	Notes    []string       `yaml:"notes" doc:"free notes"`

	Origin string `yaml:"-" json:"-"`
}

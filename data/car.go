package data

// Car is a vehicle of the user, with its lamps as measured. Every fact but the
// size may be missing; a missing one becomes something to measure.
type Car struct {
	Format  int      `yaml:"format" req:"1" min:"1" max:"1" doc:"version of this file format; 1"`
	ID      string   `yaml:"id" req:"1" id:"1" doc:"short name used on the command line; the file is called ID.yaml"`
	Name    string   `yaml:"name" req:"1" doc:"what you call it"`
	Where   string   `yaml:"where" doc:"place code whose rules apply, for example GB or US-VA"`
	Climate string   `yaml:"climate" enum:"hot|mild|cold" doc:"where it is driven"`
	Volts   *float64 `yaml:"volts" unit:"V" bare:"ok" min:"5" max:"32" doc:"volts at the lamp plug, engine running; a 24 V system reads about 28"`
	Canbus  *bool    `yaml:"canbus" doc:"the car warns when a bulb is out"`
	Cycle   bool     `yaml:"motorcycle" doc:"it is a motorcycle"`
	Load    string   `yaml:"load" enum:"empty|driver|full" doc:"usual load, for the aim"`
	Lamps   []Lamp   `yaml:"lamps" req:"1" doc:"its lamps"`
	Source  string   `yaml:"source" req:"1" doc:"who measured"`
	Notes   []string `yaml:"notes" doc:"free notes"`

	Origin string `yaml:"-" json:"-"`
}

// Lamp is one lamp of a car (left and right taken as alike).
type Lamp struct {
	Size       string   `yaml:"size" req:"1" doc:"bulb size as printed on the old bulb"`
	Beam       string   `yaml:"beam" req:"1" enum:"low|high|fog|both" doc:"what the lamp does"`
	Housing    string   `yaml:"housing" enum:"projector|reflector" doc:"a glass lens ball in front is a projector"`
	Technology string   `yaml:"technology" enum:"halogen|discharge|led_module" doc:"what is in it now"`
	Rear       *float64 `yaml:"rear_clearance" unit:"mm" min:"0" max:"500" doc:"bulb flange to the inside of the closed cap"`
	RearOpen   *float64 `yaml:"rear_open" unit:"mm" min:"0" max:"1000" doc:"cap off: flange to the next hard object"`
	CapDia     *float64 `yaml:"cap_diameter" unit:"mm" min:"10" max:"300" doc:"inner diameter of the cap"`
	Cap        string   `yaml:"cap" enum:"hard|boot|vented|none" doc:"what closes the lamp behind the bulb"`
	Front      *float64 `yaml:"front_clearance" unit:"mm" min:"0" max:"300" doc:"flange to the nearest shield, hood or lens"`
	Hole       *float64 `yaml:"hole" unit:"mm" min:"5" max:"150" doc:"diameter of the bulb hole"`
	Retention  string   `yaml:"retention" enum:"wire_clip|twist|spring|carrier" doc:"what holds the bulb"`
	Flange     *float64 `yaml:"flange_thickness" unit:"mm" min:"0.1" max:"30" doc:"thickness of the old bulb's flange where the clip bears"`
	AdapterOK  *bool    `yaml:"adapter_known" doc:"the ring in the box is known to be the one for this carrier"`
	ForcedOff  *float64 `yaml:"forced_clocking" unit:"deg" min:"0" max:"90" doc:"angle off 3 and 9 o'clock that the holder forces"`
	Focal      *float64 `yaml:"focal_length" unit:"mm" min:"5" max:"200" doc:"focal length of the optics, if known"`
	CableRoom  *float64 `yaml:"cable_room" unit:"mm" min:"0" max:"2000" doc:"length of path for a cable to a driver"`
	DriverRoom *float64 `yaml:"driver_room" unit:"mm" min:"0" max:"500" doc:"longest driver that finds a safe place"`
	Plug       string   `yaml:"plug" doc:"the plug on the car, named by a bulb size; leave out if it is the usual one"`
	Feed       string   `yaml:"feed" enum:"steady|pulsed|reduced" doc:"steady supply, pulsed, or reduced for daytime running"`
	Polarity   string   `yaml:"polarity" enum:"normal|reversed|ground_switched|ac" doc:"how the plug is wired"`
	BulbOutA   *float64 `yaml:"bulb_out_current" unit:"A" bare:"ok" min:"0.01" max:"10" doc:"current below which the car reports a bulb out, if known"`
	Height     *float64 `yaml:"height" unit:"mm" min:"200" max:"2500" doc:"lamp centre above the ground"`
	Dip        *float64 `yaml:"dip" unit:"%" min:"0" max:"10" doc:"downward inclination from the plate on the car or lamp"`
	Marking    string   `yaml:"marking" doc:"marking on the lens, for example VOL, VOR, HCR"`
	Notes      []string `yaml:"notes" doc:"free notes"`
}

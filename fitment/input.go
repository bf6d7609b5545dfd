package fitment

import "math"

// Words of the input. An empty word is not known.
const (
	KindLED     = "led"
	KindHalogen = "halogen"

	CollarFixed     = "fixed"
	CollarRemovable = "removable"
	CollarFriction  = "friction"
	CollarSetScrew  = "set_screw"

	DriverInternal = "internal"
	DriverInline   = "inline"
	DriverExternal = "external"
	DriverAny      = "any"

	PlugStraight = "straight"
	PlugRight    = "right"

	PolarityAny      = "any"
	PolarityNormal   = "normal"
	PolarityReversed = "reversed"
	PolarityGround   = "ground_switched"
	PolarityAC       = "ac"

	BulbOutBuiltIn  = "built_in"
	BulbOutResistor = "resistor"
	BulbOutNone     = "none"

	CoolingFan   = "fan"
	CoolingFins  = "fins"
	CoolingBraid = "braid"

	BeamLow  = "low"
	BeamHigh = "high"
	BeamFog  = "fog"
	BeamBoth = "both"

	Projector = "projector"
	Reflector = "reflector"

	TechnologyHalogen   = "halogen"
	TechnologyDischarge = "discharge"
	TechnologyModule    = "led_module"

	CapHard   = "hard"
	CapBoot   = "boot"
	CapVented = "vented"
	CapNone   = "none"

	HeldByClip    = "wire_clip"
	HeldByTwist   = "twist"
	HeldBySpring  = "spring"
	HeldByCarrier = "carrier"

	FeedSteady  = "steady"
	FeedPulsed  = "pulsed"
	FeedReduced = "reduced"

	FilamentAxial      = "axial"
	FilamentTransverse = "transverse"

	ClimateHot  = "hot"
	ClimateMild = "mild"
	ClimateCold = "cold"
)

// Bulb is what is known of the bulb in the hand. Lengths are in millimetres
// from the flange reference plane with the collar on; nil is not known.
type Bulb struct {
	Kind     string   // led or halogen
	Size     string   // canonical size
	AlsoFits []string // canonical sizes its base is sold for

	Collar        string   // fixed, removable, friction, set_screw
	CollarSlides  *bool    // the body can be moved along the axis in its collar; nil: a set-screw collar can
	CollarMM      *float64 // thickness of the collar where a clip bears
	CollarStepDeg *float64 // step of the collar's locking positions; nil or 0: any angle
	Adjustable    *bool    // can be turned in its collar; nil: by collar kind and step, or fixed when ClockingDeg is known
	ClockingDeg   *float64 // angle off 3 and 9 o'clock when seated, either way, 0 to 90

	FrontDiameterMM *float64 // largest diameter ahead of the flange
	BodyDiameterMM  *float64 // largest diameter behind the flange
	TipMM           *float64 // flange to tip

	EmitterMM    *float64 // flange to the middle of the emitters (of the low ones in a bulb with two beams)
	StripMM      *float64 // length of the emitting strip
	StripWidthMM *float64 // width of the emitting strip
	BoardMM      *float64 // thickness between opposed emitters
	MismatchMM   *float64 // height difference of left and right emitters
	Cup          *bool    // cup or ledge under the low emitters
	HighAlone    *bool    // high beam lights the high emitters only

	RearMM          *float64 // flange to the rearmost hard point, plug included
	CableBendMM     *float64 // room the cable needs to turn behind that; nil: the upper usual figure
	PlugAngle       string   // straight, right; empty counts as straight
	CableMM         *float64 // cable to the driver
	DriverMM        *float64 // longest side of an inline or external driver
	Plug            string   // plug code, written as a size
	Driver          string   // internal, inline, external
	AdapterIncluded *bool    // a holder ring for carriers is in the box

	VoltsMin  *float64 // lowest supply at which it lights
	VoltsMax  *float64 // highest supply it bears; exactly 6, 12 or 24 is read as a nominal voltage
	Polarity  string   // any, normal
	AC        *bool    // works on an alternating supply
	Pulsed    *bool    // stays steady on a pulsed feed
	Watts     *float64 // measured power, hot
	AmpsAt135 *float64 // measured current at 13.5 V, hot; nil: Watts / 13.5
	InrushA   *float64 // measured peak at switch-on
	BulbOut   string   // what it brings against a bulb-out warning: built_in, resistor, none

	Cooling          string   // fan, fins, braid
	IngressWhole     string   // ingress code of the weakest part
	IngressPart      string   // ingress code stated for one part only, usually the driver
	MassG            *float64 // mass of one bulb
	SeatingSpreadPct *float64 // spread of lux over reseatings, percent of the mean

	PatternMeasured bool // its beam was measured in a lamp like the owner's
}

// NearMiss is a size that looks as if it fitted the lamp and does not.
type NearMiss struct {
	Size string
	Why  string // one or two sentences for the owner
}

// Lamp is the owner's lamp, car and wishes, with the facts of the lamp's size.
type Lamp struct {
	Size       string     // canonical size; empty is not known
	SameBase   []string   // other names or forms of the same base, taken as the size itself
	NearMisses []NearMiss // sizes to warn of
	Beam       string     // low, high, fog, both; always given
	Housing    string     // projector, reflector
	Technology string     // halogen, discharge, led_module

	Filaments     int      // filaments of the size; 0: not known
	Filament      string   // axial, transverse
	LightCentreMM *float64 // flange to filament centre of the size
	FilamentMM    *float64 // filament length of the size
	CupInSize     *bool    // the halogen of the size has a cup under its low filament
	HalogenWatts  *float64 // power of the halogen at 13.2 V, rated watts if nothing better; the larger filament of two

	HoleMM           *float64 // diameter of the bulb hole
	FrontClearanceMM *float64 // flange to the nearest shield, hood or lens
	RearClearanceMM  *float64 // flange to the inside of the closed cap
	RearOpenMM       *float64 // cap off: flange to the next hard object
	CapDiameterMM    *float64 // inner diameter of the cap and its opening, or the free diameter around a bulb without cap
	Cap              string   // hard, boot, vented, none
	Retention        string   // wire_clip, twist, spring, carrier
	FlangeMM         *float64 // thickness of the old bulb's flange where the clip bears
	AdapterKnown     *bool    // the ring in the box is known to be the one for this lamp's carrier
	ForcedDeg        *float64 // angle off 3 and 9 o'clock that the holder forces, either way, 0 to 90
	FocalMM          *float64 // focal length of the optics
	CablePathMM      *float64 // path for the cable to a driver
	DriverRoomMM     *float64 // longest driver that finds a safe place
	Plug             string   // the car's plug, written as a size; empty: the plug of the size

	Volts    *float64 // nominal, or measured at the plug: under 9 is a 6 V system, under 18 a 12 V one, above a 24 V one
	Polarity string   // normal, reversed, ground_switched, ac
	AC       *bool    // alternating supply; nil: by polarity, and cars run their lamps from a battery
	Feed     string   // steady, pulsed, reduced
	Canbus   *bool    // the car watches its bulbs
	BulbOutA *float64 // current under which it reports a bulb out

	AllowedDriver string // the owner's wish: internal, inline, external, any
	PlugAndPlay   bool   // the owner's wish: nothing but the bulb
	Climate       string // hot, mild, cold
	Motorcycle    bool
}

// most is the largest number taken as a fact; anything beyond is a slip.
const most = 1e6

func sane(number **float64) {
	if n := *number; n != nil && !(*n >= 0 && *n <= most && !math.IsNaN(*n)) {
		*number = nil
	}
}

// cleaned returns a copy in which a number that is negative, huge or not finite
// is missing.
func (b Bulb) cleaned() Bulb {
	for _, number := range []**float64{
		&b.CollarMM, &b.CollarStepDeg, &b.ClockingDeg, &b.FrontDiameterMM, &b.BodyDiameterMM, &b.TipMM, &b.EmitterMM,
		&b.StripMM, &b.StripWidthMM, &b.BoardMM, &b.MismatchMM, &b.RearMM, &b.CableBendMM, &b.CableMM, &b.DriverMM,
		&b.VoltsMin, &b.VoltsMax, &b.Watts, &b.AmpsAt135, &b.InrushA, &b.MassG, &b.SeatingSpreadPct,
	} {
		sane(number)
	}
	return b
}

func (l Lamp) cleaned() Lamp {
	for _, number := range []**float64{
		&l.LightCentreMM, &l.FilamentMM, &l.HalogenWatts, &l.HoleMM, &l.FrontClearanceMM, &l.RearClearanceMM, &l.RearOpenMM,
		&l.CapDiameterMM, &l.FlangeMM, &l.ForcedDeg, &l.FocalMM, &l.CablePathMM, &l.DriverRoomMM, &l.Volts, &l.BulbOutA,
	} {
		sane(number)
	}
	return l
}

// twoBeams reports whether one bulb makes both beams with two filaments.
func (l Lamp) twoBeams() bool {
	return l.Filaments >= 2 || l.Filaments == 0 && l.Beam == BeamBoth
}

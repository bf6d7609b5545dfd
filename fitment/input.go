package fitment

import (
	"math"
	"reflect"
	"slices"

	"stillbright/data"
)

// Words of the records. An empty word is not known.
const (
	CollarFixed     = "fixed"
	CollarRemovable = "removable"
	CollarFriction  = "friction"
	CollarSetScrew  = "set_screw"

	ClockingAdjustable = "adjustable"
	ClockingFixed      = "fixed"

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

// Bulb is the record of the bulb in the hand, with what its tests say beyond the
// record. What a missing fact of the record is read as:
//
//   - cable bend: the upper usual figure; plug angle: straight;
//   - clocking: by the kind of collar, or fixed where the angle off is known;
//   - amps: watts at 13.5 V;
//   - volts: exactly 6, 12 or 24 is the name of a system.
type Bulb struct {
	data.Bulb
	SpreadPct       *float64 // spread of lux over reseatings, percent of the mean
	PatternMeasured bool     // its beam was measured in a lamp like the owner's
}

// Lamp is the record of the owner's lamp, with what is known of its size, of the
// car, and the owner's wishes. The volts may be nominal or measured at the plug:
// under 9 is a 6 V system, under 18 a 12 V one, above a 24 V one. Without a plug
// it is the plug of the size.
type Lamp struct {
	data.Lamp
	Of            data.Size // the lamp's size
	Car           data.Car  // its lamps are not looked at
	AllowedDriver string    // the owner's wish: internal, inline, external, any
	PlugAndPlay   bool      // the owner's wish: nothing but the bulb
}

// most is the largest number taken as a fact; anything beyond is a slip.
const most = 1e6

// numbers are the optional numbers of a record's own fields, by place: not those
// of its lists.
func numbers(record reflect.Type, at []int) (list [][]int) {
	for i := range record.NumField() {
		switch field, path := record.Field(i), append(slices.Clone(at), i); {
		case field.Type == reflect.TypeFor[*float64]():
			list = append(list, path)
		case field.Type.Kind() == reflect.Struct:
			list = append(list, numbers(field.Type, path)...)
		}
	}
	return list
}

var bulbNumbers, lampNumbers = numbers(reflect.TypeFor[Bulb](), nil), numbers(reflect.TypeFor[Lamp](), nil)

// cleaned takes a number that is negative, huge or not finite for missing.
func cleaned(record any, places [][]int) {
	value := reflect.ValueOf(record).Elem()
	for _, at := range places {
		field := value.FieldByIndex(at)
		if n := *(field.Addr().Interface().(**float64)); n != nil && !(*n >= 0 && *n <= most && !math.IsNaN(*n)) {
			field.SetZero()
		}
	}
}

// twoBeams reports whether one bulb makes both beams with two filaments.
func (l *Lamp) twoBeams() bool {
	if l.Of.Filaments == nil || *l.Of.Filaments == 0 {
		return l.Beam == data.BeamBoth
	}
	return *l.Of.Filaments >= 2
}

// sameBase reports whether a size is another name or form of the lamp's own.
func (l *Lamp) sameBase(size string) bool {
	return contains(l.Of.Aliases, size) ||
		slices.ContainsFunc(l.Of.Variants, func(v data.Variant) bool { return sameSize(v.Name, size) })
}

// halogenWatts is the rated power of the halogen; the larger filament of two.
func (l *Lamp) halogenWatts() (watts *float64) {
	for _, function := range l.Of.Functions {
		if rated := function.RatedW; rated != nil && (watts == nil || *rated > *watts) {
			watts = rated
		}
	}
	return watts
}

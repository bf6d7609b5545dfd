package fitment

import (
	"math/rand/v2"
	"reflect"
)

// What a random field may hold. Numbers are drawn from the ends of a range that
// straddles the thresholds; a field that is not listed is text left empty.
var (
	randomWords = map[string][]string{
		"Kind": {KindLED}, "Size": {"H11", "H11", "H11", "H9", "H7"}, "Collar": {CollarFixed, CollarRemovable, CollarFriction, CollarSetScrew},
		"PlugAngle": {PlugStraight, PlugRight}, "Driver": {DriverInternal, DriverInline, DriverExternal},
		"BulbOut": {BulbOutBuiltIn, BulbOutResistor, BulbOutNone}, "Cooling": {CoolingFan, CoolingFins, CoolingBraid},
		"IngressWhole": {"IP54", "IP65", "IP6K9K"}, "IngressPart": {"IP67"}, "Beam": {BeamLow, BeamHigh, BeamFog, BeamBoth},
		"Housing": {Projector, Reflector}, "Technology": {TechnologyHalogen, TechnologyHalogen, TechnologyHalogen, TechnologyDischarge, TechnologyModule},
		"Filament": {FilamentAxial, FilamentTransverse}, "Cap": {CapHard, CapBoot, CapVented, CapNone},
		"Retention": {HeldByClip, HeldByTwist, HeldBySpring, HeldByCarrier}, "Feed": {FeedSteady, FeedPulsed, FeedReduced},
		"AllowedDriver": {DriverAny, DriverInternal, DriverInline}, "Climate": {ClimateHot, ClimateMild, ClimateCold},
	}
	randomNumbers = map[string][2]float64{
		"CollarMM": {1, 5}, "CollarStepDeg": {5, 90}, "ClockingDeg": {0, 30}, "FrontDiameterMM": {10, 21}, "BodyDiameterMM": {20, 60},
		"TipMM": {30, 50}, "EmitterMM": {23.5, 26.5}, "StripMM": {3, 8}, "StripWidthMM": {1, 2.6}, "BoardMM": {1, 2.6}, "MismatchMM": {0, 0.4},
		"RearMM": {20, 70}, "CableBendMM": {0, 10}, "CableMM": {50, 300}, "DriverMM": {20, 90}, "VoltsMin": {5, 14}, "VoltsMax": {13, 32},
		"Watts": {10, 60}, "AmpsAt135": {0.5, 4.5}, "InrushA": {1, 60}, "MassG": {50, 200}, "SeatingSpreadPct": {0, 20},
		"LightCentreMM": {25, 25}, "FilamentMM": {4.5, 4.5}, "HalogenWatts": {35, 65}, "HoleMM": {14, 22}, "FrontClearanceMM": {32, 55},
		"RearClearanceMM": {30, 90}, "RearOpenMM": {30, 120}, "CapDiameterMM": {30, 70}, "FlangeMM": {1, 4}, "ForcedDeg": {0, 20},
		"FocalMM": {12, 40}, "CablePathMM": {50, 300}, "DriverRoomMM": {20, 120}, "Volts": {6, 29}, "BulbOutA": {0.5, 3},
	}
)

// drawn fills a struct at random; every fact is missing with the probability
// given, save those without which nothing is asked.
func drawn(random *rand.Rand, target any, missing float64) {
	value := reflect.ValueOf(target).Elem()
	for i := range value.NumField() {
		field, name := value.Field(i), value.Type().Field(i).Name
		if random.Float64() < missing && name != "Kind" && name != "Beam" {
			continue
		}
		switch field.Kind() {
		case reflect.String:
			if words := randomWords[name]; words != nil {
				field.SetString(words[random.IntN(len(words))])
			}
		case reflect.Bool:
			field.SetBool(random.IntN(3) == 0)
		case reflect.Int:
			field.SetInt(int64(random.IntN(3)))
		case reflect.Pointer:
			if field.Type().Elem().Kind() == reflect.Bool {
				truth := random.IntN(2) == 0
				field.Set(reflect.ValueOf(&truth))
			} else if span, ok := randomNumbers[name]; ok {
				number := span[0] + random.Float64()*(span[1]-span[0])
				field.Set(reflect.ValueOf(&number))
			}
		}
	}
}

// randomPair is a bulb and a lamp whose facts do not contradict each other.
func randomPair(random *rand.Rand) (Bulb, Lamp) {
	var b Bulb
	var l Lamp
	missing := []float64{0, 0.05, 0.3, 0.8}[random.IntN(4)]
	drawn(random, &b, missing)
	drawn(random, &l, missing)
	if random.IntN(2) == 0 {
		near, nearLamp := sample() // half of them good in most respects, so that fits is not rare
		for _, pair := range [][2]any{{&near, &b}, {&nearLamp, &l}} {
			good, bad := reflect.ValueOf(pair[0]).Elem(), reflect.ValueOf(pair[1]).Elem()
			for i := range bad.NumField() {
				if random.IntN(12) > 0 {
					bad.Field(i).Set(good.Field(i))
				}
			}
		}
	}
	b.Polarity = []string{"", PolarityAny, PolarityNormal}[random.IntN(3)]
	b.Plug = []string{"", "H11", "H7"}[random.IntN(3)]
	b.AlsoFits = [][]string{nil, {"H11"}}[random.IntN(2)]
	switch {
	case yes(b.Adjustable) && b.CollarStepDeg == nil:
		b.ClockingDeg = nil // an angle is a fact of a bulb that cannot be turned, or of its steps
	case !yes(b.Adjustable):
		b.CollarStepDeg = nil
	}
	if b.VoltsMin != nil && b.VoltsMax != nil && *b.VoltsMin > *b.VoltsMax {
		b.VoltsMin, b.VoltsMax = b.VoltsMax, b.VoltsMin
	}
	if l.RearOpenMM != nil && l.RearClearanceMM != nil && *l.RearOpenMM < *l.RearClearanceMM {
		l.RearOpenMM, l.RearClearanceMM = l.RearClearanceMM, l.RearOpenMM // the cap is inside the space
	}
	if b.AmpsAt135 != nil && b.Watts != nil {
		b.AmpsAt135 = p(*b.Watts / 13.5) // two measurements of one thing
	}
	l.Plug = ""
	l.AC, l.Polarity = p(false), []string{"", PolarityNormal, PolarityReversed, PolarityGround}[random.IntN(4)]
	if l.Motorcycle && random.IntN(2) == 0 { // only a motorcycle has alternating current at the lamp
		l.AC, l.Polarity = p(true), []string{"", PolarityAC}[random.IntN(2)]
	}
	if random.IntN(2) == 0 {
		l.AC = nil
		if l.Polarity == "" && !l.Motorcycle {
			l.Polarity = PolarityNormal
		}
	}
	return b, l
}

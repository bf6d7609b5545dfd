package fitment

import (
	"math/rand/v2"
	"reflect"
	"strconv"
	"strings"

	"stillbright/data"
)

// What a random field may hold: the words and bounds of its tags, or those listed
// here. Numbers are drawn from the ends of a range that straddles the thresholds;
// text without legal words is left empty.
var (
	randomWords = map[string][]string{
		"Bulb.Kind": {data.KindLED}, "Bulb.Size": {"H11", "H11", "H11", "H9", "H7"}, "Lamp.Size": {"H11", "H11", "H11", "H9", "H7"},
		"Build.IngressBody": {"IP54", "IP65", "IP6K9K"}, "Lamp.AllowedDriver": {DriverAny, DriverInternal, DriverInline},
		"Lamp.Technology": {TechnologyHalogen, TechnologyHalogen, TechnologyHalogen, TechnologyDischarge, TechnologyModule},
		"Size.Filament":   {FilamentAxial, FilamentTransverse},
	}
	randomNumbers = map[string][2]float64{
		"Build.CollarThick": {1, 5}, "Build.ClockingOff": {0, 30}, "Build.FrontDia": {10, 21}, "Build.BodyDia": {20, 60},
		"Build.Tip": {30, 50}, "Build.Emitter": {23.5, 26.5}, "Build.Strip": {3, 8}, "Build.StripWidth": {1, 2.6}, "Build.Board": {1, 2.6}, "Build.Mismatch": {0, 0.4},
		"Build.Rear": {20, 70}, "Build.CableBend": {0, 10}, "Build.Cable": {50, 300}, "Supply.DriverLen": {20, 90}, "Supply.VoltsMin": {5, 14}, "Supply.VoltsMax": {13, 32},
		"Supply.Watts": {10, 60}, "Supply.Amps": {0.5, 4.5}, "Supply.Inrush": {1, 60}, "Build.Mass": {50, 200}, "Bulb.SpreadPct": {0, 20},
		"Size.LightCentreMM": {25, 25}, "Size.FilamentMM": {4.5, 4.5}, "Function.RatedW": {35, 65}, "Lamp.Hole": {14, 22}, "Lamp.Front": {32, 55},
		"Lamp.Rear": {30, 90}, "Lamp.RearOpen": {30, 120}, "Lamp.CapDia": {30, 70}, "Lamp.Flange": {1, 4}, "Lamp.ForcedOff": {0, 20},
		"Lamp.Focal": {12, 40}, "Lamp.CableRoom": {50, 300}, "Lamp.DriverRoom": {20, 120}, "Car.Volts": {6, 29}, "Lamp.BulbOutA": {0.5, 3},
	}
)

// drawn is one fact at random. It is missing with the probability given, save
// those without which nothing is asked.
func drawn(random *rand.Rand, missing float64) visitor {
	return func(name string, tag reflect.StructTag, field reflect.Value) {
		if random.Float64() < missing && name != "Bulb.Kind" && name != "Lamp.Beam" {
			return
		}
		switch field.Interface().(type) {
		case string:
			words := randomWords[name]
			if enum := tag.Get("enum"); words == nil && enum != "" {
				words = strings.Split(enum, "|")
			}
			if words != nil {
				field.SetString(words[random.IntN(len(words))])
			}
		case bool:
			field.SetBool(random.IntN(3) == 0)
		case *int:
			field.Set(reflect.ValueOf(p(random.IntN(3))))
		case *bool:
			field.Set(reflect.ValueOf(p(random.IntN(2) == 0)))
		case *float64:
			span, ok := randomNumbers[name]
			if !ok {
				span[0], _ = strconv.ParseFloat(tag.Get("min"), 64)
				span[1], _ = strconv.ParseFloat(tag.Get("max"), 64)
				ok = span[1] > span[0]
			}
			if ok {
				field.Set(reflect.ValueOf(p(span[0] + random.Float64()*(span[1]-span[0]))))
			}
		}
	}
}

// randomPair is a bulb and a lamp whose facts do not contradict each other.
func randomPair(random *rand.Rand) (Bulb, Lamp) {
	var b Bulb
	l := Lamp{Of: data.Size{Functions: make([]data.Function, 1)}}
	factsOf(&b, &l, drawn(random, []float64{0, 0.05, 0.3, 0.8}[random.IntN(4)]))
	if random.IntN(2) == 0 {
		near, nearLamp := sample() // half of them good in most respects, so that fits is not rare
		var good []reflect.Value
		factsOf(&near, &nearLamp, func(_ string, _ reflect.StructTag, field reflect.Value) { good = append(good, field) })
		i := 0
		factsOf(&b, &l, func(_ string, _ reflect.StructTag, field reflect.Value) {
			if random.IntN(12) > 0 {
				field.Set(good[i])
			}
			i++
		})
	}
	b.Supply.Polarity = []string{"", PolarityAny, PolarityNormal}[random.IntN(3)]
	b.Supply.Plug = []string{"", "H11", "H7"}[random.IntN(3)]
	b.AlsoFits = [][]string{nil, {"H11"}}[random.IntN(2)]
	if b.Build.Clocking == ClockingAdjustable {
		b.Build.ClockingOff = nil // an angle is a fact of a bulb that cannot be turned
	}
	if b.Supply.VoltsMin != nil && b.Supply.VoltsMax != nil && *b.Supply.VoltsMin > *b.Supply.VoltsMax {
		b.Supply.VoltsMin, b.Supply.VoltsMax = b.Supply.VoltsMax, b.Supply.VoltsMin
	}
	if l.RearOpen != nil && l.Rear != nil && *l.RearOpen < *l.Rear {
		l.RearOpen, l.Rear = l.Rear, l.RearOpen // the cap is inside the space
	}
	if b.Supply.Amps != nil && b.Supply.Watts != nil {
		b.Supply.Amps = p(*b.Supply.Watts / 13.5) // two measurements of one thing
	}
	l.Plug = ""
	l.Polarity = []string{"", PolarityNormal, PolarityReversed, PolarityGround}[random.IntN(4)]
	if l.Car.Cycle { // only a motorcycle has alternating current at the lamp
		l.Polarity = []string{"", l.Polarity, PolarityAC}[random.IntN(3)]
	}
	return b, l
}

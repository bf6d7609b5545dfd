package warmup

import "strconv"

// check gives the defaults to work with, the input's own settings in them.
func (in RatioInput) check() (Defaults, error) {
	d := in.Defaults
	if d == (Defaults{}) {
		d = StandardDefaults()
	}
	if in.ReferenceVolts != 0 {
		d.ReferenceVolts = in.ReferenceVolts
	}
	if in.HalogenExponent != 0 {
		d.HalogenExponent = in.HalogenExponent
	}
	if in.VoltsRange != [2]float64{} {
		d.VoltsLow, d.VoltsHigh = in.VoltsRange[0], in.VoltsRange[1]
	}
	if err := d.check(); err != nil {
		return d, err
	}
	if err := within("bulb lux", in.BulbLux, leastLux, mostLux); err != nil {
		return d, err
	}
	if err := within("low end of the bulb's band in lux", in.BulbLow, in.BulbLux/1000, in.BulbLux); err != nil {
		return d, err
	}
	if err := within("high end of the bulb's band in lux", in.BulbHigh, in.BulbLux, in.BulbLux*1000); err != nil {
		return d, err
	}
	if len(in.StockLux) == 0 {
		return d, &ValueError{Field: "number of stock readings", Reason: "must be 1 or more: without stock there is no ratio"}
	}
	for i, lux := range in.StockLux {
		if err := within("stock reading "+strconv.Itoa(i+1)+" in lux", lux, leastLux, mostLux); err != nil {
			return d, err
		}
	}
	if _, ok := classColour(in.MeterClass); !ok {
		return d, &ValueError{Field: "meter class", Text: in.MeterClass, Reason: "must be L, A, B, C or empty"}
	}
	for _, f := range []struct {
		name      string
		value     *float64
		low, high float64
	}{
		// A supply far from the reference is another system: 24 V readings need a 24 V reference.
		{"stock volts", in.StockVolts, d.ReferenceVolts * 0.7, d.ReferenceVolts * 1.3},
		{"bulb volts", in.BulbVolts, d.ReferenceVolts * 0.7, d.ReferenceVolts * 1.3},
		{"seating spread percent", in.SeatingSpreadPct, 0, 50},
		{"stock tolerance percent", in.StockTolPct, 0, 50},
		{"distance mm", in.DistanceMM, 100, 100000},
		{"moved mm", in.MovedMM, 0, 100},
		{"tilt degrees", in.TiltDeg, 0, 45},
		{"lamp spread percent", in.LampSpreadPct, 0, 50},
		{"evidence percent", in.EvidencePct, 0, 100},
	} {
		if f.value != nil {
			if err := within(f.name, *f.value, f.low, f.high); err != nil {
				return d, err
			}
		}
	}
	for _, f := range []struct {
		name  string
		value int
	}{{"seatings", in.Seatings}, {"samples", in.Samples}} {
		if err := within(f.name, float64(f.value), 0, 1000); err != nil {
			return d, err
		}
	}
	return d, nil
}

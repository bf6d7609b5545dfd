package warmup

import "math"

// volts moves the readings to the reference voltage: a halogen's flux goes with a power of its
// volts, an LED driver holds its current. Missing volts are taken at the end of their range that is
// worse for the bulb, and the upper half of the band reaches to the other end.
func (r *ratio) volts() {
	if r.in.Halogen {
		r.halogenVolts()
		return
	}
	low, high := r.d.VoltsLow, r.d.VoltsHigh
	v := low
	switch {
	case r.in.StockVolts != nil:
		v, high = *r.in.StockVolts, *r.in.StockVolts
	case r.in.BulbVolts != nil:
		v = clamp(*r.in.BulbVolts-r.d.SameDayVolts, low, high)
		high = clamp(*r.in.BulbVolts+r.d.SameDayVolts, low, high)
		r.note("the volts under stock are not recorded: taken within %s V of those under the bulb, the bulb's worse end first", short(r.d.SameDayVolts))
	default:
		r.note("the volts at the plug are not recorded: the middle figure is for %s V under stock, the worse end for the bulb, and the band reaches to %s V", short(low), short(high))
	}
	k, reference := r.d.HalogenExponent, r.d.ReferenceVolts
	r.Mid -= k * math.Log(reference/v)
	r.Up = k * math.Log(high/v)
	r.voltsParts(math.Abs(math.Log(reference/v)), SharedStock, propagate([]float64{k}, []float64{limit(r.d.VoltsLimit) / v}, nil))
	r.note("the halogen is moved from %s V to %s V with the power %s of the volts (rule of the trade); the LED is not moved, its driver holds the current", short(v), short(reference), short(k))
}

// halogenVolts is the case of two halogens: only the difference of their volts matters, and the
// reference cancels.
func (r *ratio) halogenVolts() {
	low, high, same := r.d.VoltsLow, r.d.VoltsHigh, r.d.SameDayVolts
	stock, bulb := low, clamp(low+same, low, high)     // the worse end for the bulb
	stockUp, bulbUp := clamp(low+same, low, high), low // the better end
	switch {
	case r.in.StockVolts != nil && r.in.BulbVolts != nil:
		stock, bulb = *r.in.StockVolts, *r.in.BulbVolts
		stockUp, bulbUp = stock, bulb
	case r.in.StockVolts != nil:
		stock, stockUp = *r.in.StockVolts, *r.in.StockVolts
		bulb, bulbUp = clamp(stock+same, low, high), clamp(stock-same, low, high)
	case r.in.BulbVolts != nil:
		bulb, bulbUp = *r.in.BulbVolts, *r.in.BulbVolts
		stock, stockUp = clamp(bulb-same, low, high), clamp(bulb+same, low, high)
	}
	if r.in.StockVolts == nil || r.in.BulbVolts == nil {
		r.note("the volts under both halogens are not recorded: taken as up to %s V apart, the bulb's worse way for the middle figure", short(same))
	}
	k := r.d.HalogenExponent
	apart := math.Log(stock / bulb)
	r.Mid += k * apart
	r.Up = math.Max(k*(math.Log(stockUp/bulbUp)-apart), 0)
	u := limit(r.d.VoltsLimit)
	r.voltsParts(math.Abs(apart), "", propagate([]float64{k, -k}, []float64{u / stock, u / bulb}, alike))
}

func (r *ratio) voltsParts(distance float64, shared string, read float64) {
	r.part("volts read", read, shared, "the volts at the plug within %s V", short(r.d.VoltsLimit))
	r.part("halogen exponent", limit(r.d.ExponentLimit)*distance, shared, "exponent %s within %s either way", short(r.d.HalogenExponent), short(r.d.ExponentLimit))
}

func clamp(v, low, high float64) float64 { return math.Min(math.Max(v, low), high) }

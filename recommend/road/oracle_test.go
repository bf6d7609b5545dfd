package road

import "math"

// What the tests hold the room against: beams made up, and formulas the other way
// round.

// Inside reports whether a colour is white; the boundary itself is. NaN is not.
func (w White) Inside(c Chromaticity) bool {
	least, most := w.Limits(c.X)
	return c.X >= w.Blue && c.X <= w.Yellow && c.Y >= least && c.Y <= most
}

// Limits are the least and the most y of white at x, between Blue and Yellow.
func (w White) Limits(x float64) (least, most float64) {
	return math.Min(w.Red, 0.05+0.75*x), math.Min(w.Green, 0.15+0.64*x)
}

// Uniform is a Field with the same intensity, in cd, in every direction. It stands
// for a single measured figure, such as stray light toward an eye, when only that is
// known. It is no stand-in for a beam in Reach: a peak does not point down the road.
type Uniform float64

// At returns the one intensity.
func (u Uniform) At(hDeg, vDeg float64) (float64, bool) { return float64(u), true }

// Scaled is a field with every intensity times a factor, for example hot vs stock
// over the stock beam. Spacing is that of the field beneath.
func Scaled(field Field, factor float64) (Field, error) {
	if err := within("factor", "", factor, 0, 1000); err != nil {
		return nil, err
	}
	return scaled{moved{field: field, side: 1}, factor}, nil
}

type scaled struct {
	moved
	factor float64
}

func (s scaled) At(hDeg, vDeg float64) (float64, bool) {
	cd, ok := s.moved.At(hDeg, vDeg)
	return cd * s.factor, ok
}

// Mirrored is a field with left and right exchanged, as between a lamp for
// right-hand and one for left-hand traffic.
func Mirrored(field Field) Field { return moved{field: field, side: -1} }

// LuxDistance is the distance in m at which lamps of intensity I toward a point
// give E there:
//
//	d = sqrt(n I / E)
//
// I in cd (0 to 10^7) for each lamp, E in lx (0.01 to 10^6), n lamps (1 to 8).
// Source: photometric distance law [read], solved for d [computed]. With the peak
// intensity it is a bound that no point of the road reaches.
func LuxDistance(candela, lux float64, lamps int) (float64, error) {
	if err := firstError(checkCandela(candela), checkLux(lux), checkLamps(lamps)); err != nil {
		return 0, err
	}
	return math.Sqrt(float64(lamps) * candela / lux), nil
}

// DipDegrees turns a dip in percent (drop over distance, 0 to 10) into degrees:
// atan(pct / 100). Source: geometry [computed]; 1 % is 0.5729 degrees.
func DipDegrees(percent float64) (float64, error) {
	if err := within("dip", "%", percent, 0, 10); err != nil {
		return 0, err
	}
	return degrees(math.Atan(percent / 100)), nil
}

func checkLamps(lamps int) error {
	return within("number of lamps", "", float64(lamps), 1, 8)
}

// McCamy is the correlated colour temperature in K of a colour near the Planckian
// locus,
//
//	n = (x - 0.3320) / (y - 0.1858)
//	CCT = -449 n^3 + 3525 n^2 - 6823.3 n + 5520.33
//
// x 0.25 to 0.60, y 0.25 to 0.50, which holds every white. Source: McCamy 1992
// [read].
func McCamy(c Chromaticity) (float64, error) {
	err := firstError(within("x", "", c.X, 0.25, 0.60), within("y", "", c.Y, 0.25, 0.50))
	if err != nil {
		return 0, err
	}
	n := (c.X - 0.3320) / (c.Y - 0.1858)
	return ((-449*n+3525)*n-6823.3)*n + 5520.33, nil
}

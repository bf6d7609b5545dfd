package road

import (
	"fmt"
	"math"
)

// Distances from which lux is turned into candela without a reserve, in metres.
const (
	// RegulatorDistanceUS is the shortest photometry distance of 49 CFR 571.108
	// S14.2.5 (60 ft) [second hand].
	RegulatorDistanceUS = 18.3
	// RegulatorDistanceUN is the measuring distance of UN R112 and R149 [read].
	RegulatorDistanceUN = 25.0
)

// Reading is a luminous intensity taken from a lux reading.
type Reading struct {
	Candela   float64 // cd
	DistanceM float64 // m from the lamp to the meter
	LimitM    float64 // m below which the square law is not trusted for this lamp
	// Equivalent is set below the limit: the figure is then candela-equivalent at
	// DistanceM. It may be compared at that distance, not carried to another.
	Equivalent bool
}

// Unit is what to print behind the figure: "cd", or candela-equivalent with the
// distance.
func (r Reading) Unit() string {
	if r.Equivalent {
		return fmt.Sprintf("candela-equivalent at %s m", short(r.DistanceM))
	}
	return "cd"
}

// Intensity turns illuminance into luminous intensity by the photometric distance
// law,
//
//	I = E d^2 / cos(theta)
//
// E in lx (0 to 10^7), d in m (0.1 to 2,000), theta the angle of incidence in
// degrees (0 to 85; 0 is a meter that faces the lamp), limit in m (0 to 1,000)
// below which the answer is candela-equivalent. For a lamp with focused optics use
// RegulatorDistanceUS or RegulatorDistanceUN; FiveTimes holds for plain sources
// only. Source: IEV/CIE photometric distance law [read, electropedia.org].
func Intensity(lux, distanceM, incidenceDeg, limitM float64) (Reading, error) {
	err := firstError(
		within("illuminance", "lx", lux, 0, 1e7),
		checkPath(distanceM, incidenceDeg),
		within("distance limit", "m", limitM, 0, 1000))
	if err != nil {
		return Reading{}, err
	}
	return Reading{
		Candela:    lux * distanceM * distanceM / math.Cos(radians(incidenceDeg)),
		DistanceM:  distanceM,
		LimitM:     limitM,
		Equivalent: distanceM < limitM,
	}, nil
}

// Illuminance is the inverse of Intensity, in lx:
//
//	E = I cos(theta) / d^2
//
// I in cd (0 to 10^7), d in m (0.1 to 2,000), theta in degrees (0 to 85).
// Source: as Intensity [read].
func Illuminance(candela, distanceM, incidenceDeg float64) (float64, error) {
	err := firstError(checkCandela(candela), checkPath(distanceM, incidenceDeg))
	if err != nil {
		return 0, err
	}
	return candela * math.Cos(radians(incidenceDeg)) / (distanceM * distanceM), nil
}

// FiveTimes is the distance in m from which the square law is within 1 % for a
// uniform plain source: five times its largest dimension (m, 0 to 10). A headlamp
// is focused and needs far more. Source: IES definition of the inverse-square law
// [read, ies.org/definitions/inverse-square-law].
func FiveTimes(largestM float64) (float64, error) {
	if err := within("largest dimension", "m", largestM, 0, 10); err != nil {
		return 0, err
	}
	return 5 * largestM, nil
}

// DiscError is the exact relative error of the square law on the axis of a uniform
// diffuse disc,
//
//	error = -1 / (4 k^2 + 1),  k = distance / diameter
//
// as a fraction (-0.0099 at k = 5). Distance and diameter in m, distance 0 to
// 2,000, diameter above 0 to 10. Source: E = pi L R^2 / (R^2 + d^2) for a disc, so
// own derivation [computed].
func DiscError(distanceM, diameterM float64) (float64, error) {
	err := firstError(
		within("distance", "m", distanceM, 0, 2000),
		within("diameter", "m", diameterM, 1e-6, 10))
	if err != nil {
		return 0, err
	}
	k := distanceM / diameterM
	return -1 / (4*k*k + 1), nil
}

func checkCandela(candela float64) error {
	return within("intensity", "cd", candela, 0, 1e7)
}

func checkPath(distanceM, incidenceDeg float64) error {
	return firstError(
		within("distance", "m", distanceM, 0.1, 2000),
		within("angle of incidence", "deg", incidenceDeg, 0, 85))
}

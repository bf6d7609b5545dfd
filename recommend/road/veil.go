package road

import "math"

// Eyes that a veil is stated for where no others are asked for.
const (
	// VeilAge in years: an eye of sixty scatters about twice what a young one does, and
	// such drivers are many [judgement].
	VeilAge = 60.0
	// VeilPigment is that of brown eyes: 0 black, 0.5 brown, 1.0 light, 1.2 very light
	// [read at second hand, see Veil].
	VeilPigment = 0.5
)

// Veil is disability glare: the luminance in cd/m2 that light scattered in the eye lays
// over what the eye looks at,
//
//	L / E = 10/t^3 + (5/t^2 + 0.1 p/t) (1 + (A/62.5)^4) + 0.0025 p
//
// with E in lx at the eye (0 to 10^5), t the angle between line of sight and source in
// degrees (0.1 to 100), A the age in years (1 to 100) and p the pigment of the eye (0 to
// 1.2, see VeilPigment). A RangeError outside. Source: CIE 146, general equation, by
// public code that cites a NIST paper, eq. 4, and Applied Optics 54, 1564, eq. 1 [read at
// second hand; the abstract of CIE 146 has the same domain].
func Veil(lux, thetaDeg, age, pigment float64) (float64, error) {
	err := firstError(
		within("illuminance at the eye", "lx", lux, 0, 1e5),
		within("glare angle", "deg", thetaDeg, 0.1, 100),
		within("age", "years", age, 1, 100),
		within("pigment of the eye", "", pigment, 0, 1.2))
	if err != nil {
		return 0, err
	}
	old := 1 + math.Pow(age/62.5, 4)
	return lux * (10/math.Pow(thetaDeg, 3) + (5/(thetaDeg*thetaDeg)+0.1*pigment/thetaDeg)*old + 0.0025*pigment), nil
}

// VeilStilesHolladay is the same by the age-adjusted Stiles-Holladay equation,
//
//	L / E = (10/t^2) (1 + (A/70)^4)
//
// t from 1 to 30 degrees; the rest as Veil. Without the age it is the plain 10/t^2.
// Source: CIE 146 [read at second hand, as Veil].
func VeilStilesHolladay(lux, thetaDeg, age float64) (float64, error) {
	err := firstError(
		within("illuminance at the eye", "lx", lux, 0, 1e5),
		within("glare angle", "deg", thetaDeg, 1, 30),
		within("age", "years", age, 1, 100))
	if err != nil {
		return 0, err
	}
	return lux * 10 / (thetaDeg * thetaDeg) * (1 + math.Pow(age/70, 4)), nil
}

// ContrastLeft is the share of its contrast, 0 to 1, that a thing keeps under a veil:
//
//	L / (L + veil)
//
// with L the luminance in cd/m2 that the eye is adapted to (0.001 to 1,000) and the veil
// in cd/m2 (0 to 10^6), since the veil is added to the thing and to what is behind it.
// Source: definition of contrast [computed].
func ContrastLeft(adaptation, veil float64) (float64, error) {
	err := firstError(
		within("adaptation luminance", "cd/m2", adaptation, 0.001, 1000),
		within("veil", "cd/m2", veil, 0, 1e6))
	if err != nil {
		return 0, err
	}
	return adaptation / (adaptation + veil), nil
}

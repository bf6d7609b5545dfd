package road

import (
	"errors"
	"math"
)

// Geometry of an oncoming driver's eye.
const (
	// EyeHeight is the height in m at which the public visibility rating reads
	// glare, in the middle of the oncoming lane [read, see LuxVisibility].
	EyeHeight = 1.10
	// EyeSideways is the distance in m from the middle of the car to the oncoming
	// driver, about one lane [common practice].
	EyeSideways = 3.5
	// NightAdaptation is the luminance in cd/m2 that eyes on an unlit road with
	// headlamps are adapted to [common practice].
	NightAdaptation = 1.0
)

// GlareLimit is the federal limit on the light of an adaptive beam at another
// driver's place, over a span of distance.
type GlareLimit struct {
	FromM, ToM  float64 // m; ToM belongs to the next span, but 220 to the last
	OncomingLux float64 // lx
	// SameWayLux is the limit at the mirrors of a driver ahead, in lx; 0 where the
	// rule sets none.
	SameWayLux float64
}

// GlareLimits are the limits of the adaptive-beam track test: 3.1, 1.8, 0.6 and 0.3
// lx oncoming, rounded to 0.1 lx. They are the only federal lux figures by
// distance; an ordinary low beam is not tested this way, so they serve as a
// yardstick. Source: 49 CFR 571.108 Table XXI [read].
func GlareLimits() []GlareLimit {
	return []GlareLimit{
		{15, 30, 3.1, 18.9},
		{30, 60, 1.8, 18.9},
		{60, 120, 0.6, 4.0},
		{120, 220, 0.3, 0},
	}
}

// GlareLimitAt is the row of GlareLimits for a distance in m, 15 to 220.
func GlareLimitAt(distanceM float64) (GlareLimit, error) {
	if err := within("distance of the other driver", "m", distanceM, 15, 220); err != nil {
		return GlareLimit{}, err
	}
	limits := GlareLimits()
	for _, limit := range limits {
		if distanceM < limit.ToM {
			return limit, nil
		}
	}
	return limits[len(limits)-1], nil
}

// GlareSource is one lamp as an eye meets it.
type GlareSource struct {
	Lux      float64 // at the eye, above 0 to 10^4
	ThetaMin float64 // between lamp and line of sight, minutes of arc, 1 to 5,400
}

// DeBoer rates discomfort glare on the de Boer scale,
//
//	W = 5.0 - 2.0 log10 sum_i [ E_i / (0.003 (1 + sqrt(La / 0.04)) theta_i^0.46) ]
//
// with E in lx at the eye, theta in minutes of arc, La the adaptation luminance in
// cd/m2 (0.001 to 1,000). 1 is unbearable, 9 just noticeable; the formula is not
// clamped to the scale. Source: Schmidt-Clausen and Bindels 1974, formula and the
// minutes of arc [from memory]; degrees would shift W by -1.64.
func DeBoer(sources []GlareSource, adaptation float64) (float64, error) {
	if len(sources) == 0 {
		return 0, errors.New("glare sources: at least one is needed")
	}
	if err := within("adaptation luminance", "cd/m2", adaptation, 0.001, 1000); err != nil {
		return 0, err
	}
	var sum float64
	for _, source := range sources {
		err := firstError(
			within("illuminance at the eye", "lx", source.Lux, leastGlare, 1e4),
			within("glare angle", "minutes of arc", source.ThetaMin, 1, 5400))
		if err != nil {
			return 0, err
		}
		sum += source.Lux / (0.003 * (1 + math.Sqrt(adaptation/0.04)) * math.Pow(source.ThetaMin, 0.46))
	}
	return 5 - 2*math.Log10(sum), nil
}

// leastGlare, in lx, is starlight: less than this at the eye is no glare.
const leastGlare = 1e-4

// DeBoerWord is the word of the nearest mark of the scale: 1 unbearable, 3
// disturbing, 5 just acceptable, 7 satisfactory, 9 just noticeable [from memory].
func DeBoerWord(w float64) string {
	switch {
	case w < 2:
		return "unbearable"
	case w < 4:
		return "disturbing"
	case w < 6:
		return "just acceptable"
	case w < 8:
		return "satisfactory"
	}
	return "just noticeable"
}

// GlareInput is what Glare needs. A zero EyeHeightM, SidewaysM or Adaptation takes
// the constant of that name; nil distances take 15, 30, 50, 60, 100, 120, 150 and
// 220 m.
type GlareInput struct {
	Field       Field   // a beam, or Uniform for one measured direction
	LampHeightM float64 // 0.2 to 1.6
	DipDeg      float64 // as in ReachInput
	FieldDipDeg float64
	RaiseDeg    float64 // misaim, up positive, -5 to 5
	Traffic     Traffic
	Lamps       int     // 1 or 2
	SpacingM    float64 // as in ReachInput
	EyeHeightM  float64 // 0.5 to 3
	SidewaysM   float64 // 0.5 to 20
	Adaptation  float64 // cd/m2, 0.001 to 1,000
	DistancesM  []float64
}

// GlareAt is the light at an oncoming eye at one distance.
type GlareAt struct {
	DistanceM  float64
	HDeg, VDeg float64 // toward the eye from the middle of the car
	ThetaMin   float64 // from the line of sight, minutes of arc
	Measured   bool    // false: the beam was not measured in that direction; the rest is then 0
	Lux        float64 // at the eye, all lamps
	LimitLux   float64 // federal, as a yardstick
	Over       bool    // Lux, rounded to 0.1 lx as the rule does, is above LimitLux
	DeBoer     float64 // see DeBoer; meaningful when Rated
	VeilCdM2   float64 // see Veil, at VeilAge and VeilPigment; cd/m2
	Rated      bool    // false outside 0.0001 to 10,000 lx, where the scale says nothing
}

// Glare gives the light at the eye of an oncoming driver at each distance (15 to
// 220 m),
//
//	E = sum over lamps of I(h, v) / r^2
//
// on a level straight road, the eye EyeSideways toward oncoming traffic and
// EyeHeight up. Theta is the angle between the driver's line of sight, straight
// ahead and level, and the lamps. Source: photometric distance law [read] and
// geometry [computed]; limits as GlareLimits; rating as DeBoer; the
// veil as Veil.
func Glare(in GlareInput) ([]GlareAt, error) {
	if in.Field == nil {
		return nil, ErrNoPattern
	}
	eye, sideways, adaptation := orElse(in.EyeHeightM, EyeHeight), orElse(in.SidewaysM, EyeSideways), orElse(in.Adaptation, NightAdaptation)
	kerb, errTraffic := in.Traffic.kerb()
	placed, errLamps := placeLamps(in.Lamps, in.SpacingM)
	err := firstError(errTraffic, errLamps,
		checkLampHeight(in.LampHeightM), checkDip(in.DipDeg), checkDip(in.FieldDipDeg),
		within("eye height", "m", eye, 0.5, 3),
		within("sideways distance of the eye", "m", sideways, 0.5, 20),
		within("adaptation luminance", "cd/m2", adaptation, 0.001, 1000))
	if err != nil {
		return nil, err
	}
	raised, err := Raised(in.Field, in.RaiseDeg)
	if err != nil {
		return nil, err
	}
	distances := in.DistancesM
	if distances == nil {
		distances = []float64{15, 30, 50, 60, 100, 120, 150, 220}
	}
	scene := scene{field: raised, lamps: placed, drop: in.LampHeightM - eye, tilt: in.DipDeg - in.FieldDipDeg}
	side := -kerb * sideways
	var list []GlareAt
	for _, d := range distances {
		limit, err := GlareLimitAt(d)
		if err != nil {
			return nil, err
		}
		at := GlareAt{DistanceM: d, LimitLux: limit.OncomingLux}
		at.HDeg, at.VDeg, _ = scene.direction(side, d)
		at.ThetaMin = 60 * degrees(math.Atan(math.Hypot(sideways, scene.drop)/d))
		if at.Lux, at.Measured = scene.light(side, d); at.Measured {
			at.Over = math.Round(at.Lux*10)/10 > limit.OncomingLux
			at.DeBoer, err = DeBoer([]GlareSource{{at.Lux, at.ThetaMin}}, adaptation)
			at.Rated = err == nil
			if at.VeilCdM2, err = Veil(at.Lux, at.ThetaMin/60, VeilAge, VeilPigment); err != nil {
				return nil, err
			}
		}
		list = append(list, at)
	}
	return list, nil
}

// Tilt is an error that turns or spreads a beam, ready for GlareInput.RaiseDeg.
type Tilt struct {
	What     string
	RaiseDeg float64 // the part of the beam that rises most
	// Curable is false when one half rises while the other falls, so that aiming the
	// lamp does not put it right.
	Curable bool
}

// QuarterDegree is the misaim that 49 CFR 571.108 (S14.6, repeatedly) allows at
// any test point [read].
const QuarterDegree = 0.25

// AxialSpread is the largest turn of a ray for an axial error delta of the emitter
// in a paraboloid of focal length F, in units of delta/F:
//
//	max over phi of sin(phi) (1 + cos(phi)) / 2 = 3 sqrt(3) / 8 = 0.65 at phi = 60 degrees
//
// phi is the angle at the focus between the axis and the place on the mirror. Source:
// geometry of the paraboloid [computed].
const AxialSpread = 0.649519052838329

// CollarTilts gives what an emitter off its place does to the beam, after a quarter
// degree of plain misaim for comparison:
//
//	sideways or up: delta / F rad, all of the beam together
//	along the axis: up to 0.65 delta / F rad, the upper and the lower half of the
//	reflector opposite ways
//
// Deltas in mm (0 to 5), F the focal length in mm (5 to 200). Source: design of
// paraboloids, small angles [computed]; real facets and projector shields differ.
func CollarTilts(sidewaysMM, axialMM, focalMM float64) ([]Tilt, error) {
	err := firstError(
		within("sideways emitter error", "mm", sidewaysMM, 0, 5),
		within("axial emitter error", "mm", axialMM, 0, 5),
		within("focal length", "mm", focalMM, 5, 200))
	if err != nil {
		return nil, err
	}
	tilts := []Tilt{{"a quarter degree of misaim", QuarterDegree, true}}
	if sidewaysMM > 0 {
		tilts = append(tilts, Tilt{"emitter off to the side or in height", degrees(sidewaysMM / focalMM), true})
	}
	if axialMM > 0 {
		tilts = append(tilts, Tilt{"emitter off along the axis", degrees(AxialSpread * axialMM / focalMM), false})
	}
	return tilts, nil
}

func orElse(x, fallback float64) float64 {
	if x == 0 {
		return fallback
	}
	return x
}

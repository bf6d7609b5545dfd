package road

import (
	"errors"
	"math"
	"slices"
	"sync"
)

// Published illuminance levels for the distance a lamp reaches, in lx.
const (
	// LuxRange is the line of the range method of CIE 188:2010 [from memory].
	LuxRange = 1.0
	// LuxTwilight is the end of civil twilight as a limit of useful sight, Owens,
	// Francis and Leibowitz 1989 [read, visualexpert.com/Resources/twilightcriterion.html].
	// Zwahlen and Schnell hold one number to be too simple [read].
	LuxTwilight = 3.2
	// LuxVisibility is the level of the public visibility rating in use in the US,
	// read 0.25 m above the ground at the road edges [read, slideplayer.com/amp/13397086].
	LuxVisibility = 5.0
)

// TrafficCaution goes with every change of reach that is taken as a square root.
const TrafficCaution = "facing an oncoming car with equally brighter lamps, 3.8 times the intensity bought 17 percent more seeing distance"

// TrafficSource is where TrafficCaution was read.
const TrafficSource = "Flannagan et al., abstract at swov.nl, effects of overall low-beam intensity on seeing distance in the presence of glare"

// TrafficExponent is the exponent that the published result implies in place of
// the square root's 0.5: ln 1.17 / ln 3.8 = 0.118. Source: TrafficSource [read];
// the exponent [computed].
const TrafficExponent = 0.1176057104

// DistanceMost is the farthest point of the road that is looked at, in m.
const DistanceMost = 2000.0

// distanceLeast is the nearest point of the road that is looked at, in m.
const distanceLeast = 5.0

// ErrNoPattern says that no beam pattern is known, so that no distance in metres
// can be given; ReachRatio still holds.
var ErrNoPattern = errors.New("no beam pattern measured: no distance can be given, only the change against stock")

// ReachRatio is how a distance changes when every intensity is multiplied by q (0
// to 1,000): sqrt(q). It needs no pattern. Say TrafficCaution beside it. Source: as
// LuxDistance [computed].
func ReachRatio(q float64) (float64, error) {
	if err := within("intensity ratio", "", q, 0, 1000); err != nil {
		return 0, err
	}
	return math.Sqrt(q), nil
}

// CutoffDistance is where the flat part of a cutoff meets a level road, in m:
//
//	d = h / tan(dip)
//
// h in m (0.2 to 1.6), dip in degrees (0 to 6). ok is false for dip 0: a cutoff at
// the horizon never meets the road. Source: geometry [computed].
func CutoffDistance(heightM, dipDeg float64) (distanceM float64, ok bool, err error) {
	if err := firstError(checkLampHeight(heightM), checkDip(dipDeg)); err != nil {
		return 0, false, err
	}
	// Dip 0 gives an infinite distance; a dip so small that the cutoff meets the road
	// beyond a thousand kilometres is the horizon too.
	if distanceM = heightM / math.Tan(radians(dipDeg)); distanceM > 1e6 {
		return 0, false, nil
	}
	return distanceM, true, nil
}

// Traffic is the side of the road that is driven on.
type Traffic string

// Sides of traffic.
const (
	RightHand Traffic = "right"
	LeftHand  Traffic = "left"
)

// kerb is +1 where the kerb is on the right, -1 where it is on the left.
func (t Traffic) kerb() (float64, error) {
	switch t {
	case RightHand:
		return 1, nil
	case LeftHand:
		return -1, nil
	}
	return 0, errors.New("traffic " + string(t) + ": must be right or left")
}

// RoadPoints are the points a reach is looked for at: sideways from the middle of
// the car, and above the road, in m.
type RoadPoints struct {
	KerbM   float64 // to the kerb side, 0 to 10
	CentreM float64 // to the side of oncoming traffic, 0 to 10
	HeightM float64 // 0 to 1.5
}

// LaneEdges are the edges of a 12 ft (3.66 m) lane with the car in its middle, 1.83
// m to each side, looked at 0.25 m above the road. The lane is the usual one of US
// highway design [common practice]; 0.25 m is the height of the public visibility
// rating [read, see LuxVisibility].
func LaneEdges() RoadPoints { return RoadPoints{KerbM: 1.83, CentreM: 1.83, HeightM: 0.25} }

// ReachInput is what Reach needs. Field angles count from the axis of the lamp as
// it stood when the field was measured.
type ReachInput struct {
	Field       Field
	LampHeightM float64 // lamp centre above the road, 0.2 to 1.6
	DipDeg      float64 // dip of the cutoff on the car, 0 to 6 degrees
	FieldDipDeg float64 // dip of the cutoff when the field was measured, 0 to 6 (0.4 for VOL, 0 for VOR, 0.573 for UN)
	HighBeam    bool    // no cutoff, so no cap; both dips are then the tilt of the axis
	Traffic     Traffic
	Lamps       int        // 1 or 2
	SpacingM    float64    // between two lamp centres, 0 to 2.5; 0 takes them as one in the middle of the car
	Road        RoadPoints // LaneEdges unless told
	Lux         []float64  // levels; nil is LuxRange, LuxTwilight, LuxVisibility
	MeasuredAtM float64    // m from lamp to meter when the field was measured; 0 when not known
	LimitM      float64    // m below which intensities are candela-equivalent; 0 is RegulatorDistanceUS
}

// What was found at one level on one side.
const (
	Reached     = "reached"      // the light falls below the level at M
	AtLeast     = "at_least"     // still lit at M, beyond which nothing was measured
	NotLit      = "not_lit"      // below the level wherever it was measured
	NotMeasured = "not_measured" // nothing was measured toward these points
)

// SideReach is the reach at one level on one side of the lane.
type SideReach struct {
	Lux   float64
	Found string // Reached, AtLeast, NotLit, NotMeasured
	// M is the distance ahead of the lamp, in m; 0 unless Found is Reached or
	// AtLeast. Never beyond the cap.
	M float64
	// Capped is set when the cutoff meets the road first; PatternM is then the
	// distance by the pattern alone, where only light above the flat part of the
	// cutoff arrives (on the kerb side, that of the step).
	Capped   bool
	PatternM float64
	// Direction and intensity of one lamp at PatternM, seen from the middle of the
	// car, before the dip is taken out.
	HDeg, VDeg, Candela float64
	// SpacingDeg is how far apart the measured points around that direction lie; 0
	// when the field does not know. Sparse is set above SparseDeg: the distance is
	// then an estimate, on the low side.
	SpacingDeg float64
	Sparse     bool
}

// SparseDeg is the spacing in degrees above which points are too far apart to show
// a cutoff between them. The cutoffs of the rules are scanned in steps of 0.05
// degree, and their test points lie about 1 to 2 degrees apart where it matters
// [common practice].
const SparseDeg = 2.0

// ReachResult is the reach of one beam.
type ReachResult struct {
	Kerb, Centre []SideReach // by rising level
	CapM         float64     // where the cutoff meets the road; 0 without a cap
	HasCap       bool
	// Equivalent is set when the field was measured nearer than the distance limit,
	// or from an unknown distance: every distance is then an estimate from
	// candela-equivalent figures.
	Equivalent bool
}

// Reach finds, for each level, the farthest distance along the lane edges at which
// a point of the road still gets that illuminance,
//
//	E(d) = sum over lamps of I(h, v) / r^2
//	h = atan(s / d),  v = -atan((H - z) / sqrt(d^2 + s^2))
//
// with s the sideways distance from the lamp to the point, H and z the heights of
// lamp and point, r the distance between them, and I read from the field at v + dip
// - field dip. E is on a surface that faces the lamp, clear air, level straight
// road. A low beam is capped at CutoffDistance. Source: photometric distance law
// [read] and geometry [computed]; the levels as named at their constants.
//
// It is an upper bound on what a driver can use: no level says that a dark object
// is seen in time, and oncoming light takes most of a gain away (TrafficCaution).
// Without a field the error is ErrNoPattern; figures outside their ranges give a
// *RangeError.
func Reach(in ReachInput) (ReachResult, error) {
	edges, err := AlongLane(in)
	if err != nil {
		return ReachResult{}, err
	}
	levels := in.Lux
	if levels == nil {
		levels = []float64{LuxRange, LuxTwilight, LuxVisibility}
	}
	return edges.Reach(levels...)
}

// LaneLight is a beam laid along both edges of a lane, to be asked for one level
// after another. Several goroutines may ask at a time.
type LaneLight struct {
	lock         sync.Mutex
	kerb, centre line
	beam         ReachResult // without levels
}

// AlongLane lays a beam along the lane's edges; the levels of the input play no
// part. Its errors are those of Reach.
func AlongLane(in ReachInput) (*LaneLight, error) {
	if in.Field == nil {
		return nil, ErrNoPattern
	}
	kerb, errTraffic := in.Traffic.kerb()
	limit := in.LimitM
	if limit == 0 {
		limit = RegulatorDistanceUS
	}
	placed, errLamps := placeLamps(in.Lamps, in.SpacingM)
	capM, hasCap, errCap := CutoffDistance(in.LampHeightM, in.DipDeg)
	err := firstError(errTraffic, errLamps, errCap,
		checkDip(in.FieldDipDeg),
		within("kerb-side distance", "m", in.Road.KerbM, 0, 10),
		within("centre-side distance", "m", in.Road.CentreM, 0, 10),
		within("height above the road", "m", in.Road.HeightM, 0, 1.5),
		within("measuring distance", "m", in.MeasuredAtM, 0, 1000),
		within("distance limit", "m", limit, 0.1, 1000))
	if err != nil {
		return nil, err
	}
	edges := &LaneLight{beam: ReachResult{Equivalent: in.MeasuredAtM < limit}}
	if hasCap && !in.HighBeam {
		edges.beam.CapM, edges.beam.HasCap = capM, true
	}
	scene := scene{
		field: in.Field, lamps: placed, drop: in.LampHeightM - in.Road.HeightM, tilt: in.DipDeg - in.FieldDipDeg,
	}
	edges.kerb, edges.centre = line{scene: scene, sideways: kerb * in.Road.KerbM}, line{scene: scene, sideways: -kerb * in.Road.CentreM}
	return edges, nil
}

// Reach is Reach for this beam at the levels given, in lx (0.01 to 10^6).
func (e *LaneLight) Reach(lux ...float64) (ReachResult, error) {
	levels := slices.Clone(lux)
	slices.Sort(levels)
	for _, level := range levels {
		if err := checkLux(level); err != nil {
			return ReachResult{}, err
		}
	}
	e.lock.Lock()
	defer e.lock.Unlock()
	result := e.beam
	for _, level := range levels {
		result.Kerb = append(result.Kerb, e.kerb.reach(level, e.beam))
		result.Centre = append(result.Centre, e.centre.reach(level, e.beam))
	}
	return result, nil
}

// scene is the geometry shared by reach and glare: lamps, and a point ahead of them.
type scene struct {
	field Field
	lamps []lamps
	drop  float64 // height of the lamps above the point, m
	tilt  float64 // how far the beam points below where it was measured, deg
}

// lamps are those at one sideways place, m from the middle of the car, + right.
type lamps struct{ sideways, count float64 }

// direction is where a point ahead lies from a lamp: angles in degrees, distance in m.
func (s scene) direction(sideways, ahead float64) (hDeg, vDeg, r float64) {
	flat2 := ahead*ahead + sideways*sideways
	return degrees(math.Atan(sideways / ahead)), -degrees(math.Atan(s.drop / math.Sqrt(flat2))), math.Sqrt(flat2 + s.drop*s.drop)
}

// light sums the lamps at a point, in lx; false when any lamp was not measured in
// that direction.
func (s scene) light(sideways, ahead float64) (lux float64, ok bool) {
	for _, lamp := range s.lamps {
		h, v, r := s.direction(sideways-lamp.sideways, ahead)
		cd, measured := toward(s.field, h, v+s.tilt)
		if !measured {
			return 0, false
		}
		lux += lamp.count * cd / (r * r)
	}
	return lux, true
}

// line is the light along one edge of the lane, sampled once for all levels, from
// the far end toward the car and no nearer than was asked for. The step is one
// percent of the distance: for a lamp of usual height less than 0.05 degree, beyond
// 25 m less than 0.01, which is finer than any cutoff is sharp.
type line struct {
	scene
	sideways float64
	samples  []sample
}

type sample struct {
	distance, lux float64
	measured      bool
}

// sample is the i-th from the far end; false nearer than anybody asks.
func (l *line) sample(i int) (sample, bool) {
	for i >= len(l.samples) {
		distance := DistanceMost
		if n := len(l.samples); n > 0 {
			distance = l.samples[n-1].distance / 1.01
		}
		if distance < distanceLeast {
			return sample{}, false
		}
		l.samples = append(l.samples, l.at(distance))
	}
	return l.samples[i], true
}

func (l *line) at(distance float64) sample {
	lux, measured := l.light(l.sideways, distance)
	return sample{distance, lux, measured}
}

// reach is the farthest lit distance by the pattern, then held to the cap.
func (l *line) reach(lux float64, beam ReachResult) SideReach {
	end, _ := l.sample(0)
	found, distance := l.farthest(lux, end)
	side := SideReach{Lux: lux, Found: found, M: distance, PatternM: distance}
	if distance == 0 {
		return side
	}
	if beam.HasCap && distance > beam.CapM {
		side.Capped = true
		if side.Found, side.M = l.farthest(lux, l.at(beam.CapM)); side.Found == AtLeast {
			side.Found = Reached // it is the cap that ends it, not the measurement
		}
	}
	side.HDeg, side.VDeg, _ = l.direction(l.sideways, distance)
	side.Candela, _ = toward(l.field, side.HDeg, side.VDeg+l.tilt)
	side.SpacingDeg, _ = spacing(l.field, side.HDeg, side.VDeg+l.tilt)
	side.Sparse = side.SpacingDeg > SparseDeg
	return side
}

// farthest finds the farthest point that gets a level, from a first sample inward,
// and refines the crossing. The distance is 0 unless something was found.
func (l *line) farthest(lux float64, far sample) (found string, distance float64) {
	enough := func(s sample) bool { return s.measured && s.lux >= lux }
	if enough(far) {
		return AtLeast, far.distance
	}
	found = NotMeasured
	if far.measured {
		found = NotLit
	}
	for i := 0; ; i++ {
		near, ok := l.sample(i)
		if !ok {
			return found, 0
		}
		if near.distance >= far.distance {
			continue
		}
		if !enough(near) {
			if near.measured {
				found = NotLit
			}
			far = near
			continue
		}
		for far.distance-near.distance > resolved {
			if middle := l.at((near.distance + far.distance) / 2); enough(middle) {
				near = middle
			} else {
				far = middle
			}
		}
		if far.measured {
			return Reached, near.distance
		}
		return AtLeast, near.distance
	}
}

// resolved is how near a crossing is followed, in m.
const resolved = 1e-9

func placeLamps(count int, spacingM float64) ([]lamps, error) {
	if err := firstError(within("number of lamps", "", float64(count), 1, 2), within("lamp spacing", "m", spacingM, 0, 2.5)); err != nil {
		return nil, err
	}
	if count == 1 || spacingM == 0 {
		return []lamps{{0, float64(count)}}, nil
	}
	return []lamps{{-spacingM / 2, 1}, {spacingM / 2, 1}}, nil
}

func checkLux(lux float64) error {
	return within("illuminance level", "lx", lux, 0.01, 1e6)
}

func checkLampHeight(heightM float64) error {
	return within(Height, "m", heightM, 0.2, 1.6)
}

func checkDip(dipDeg float64) error {
	return within("dip", "deg", dipDeg, 0, 6)
}

package data

import "fmt"

// BeamPoint is the intensity of a beam in one direction. Angles count from the
// axis of the lamp as it stood when it was measured.
type BeamPoint struct {
	H  float64 `yaml:"h" req:"1" min:"-90" max:"90" doc:"degrees right of the axis"`
	V  float64 `yaml:"v" req:"1" min:"-90" max:"90" doc:"degrees above the axis"`
	CD float64 `yaml:"cd" req:"1" unit:"cd" bare:"ok" min:"0" max:"10000000" doc:"intensity: lux times the square of the distance in metres"`
}

// beamPointsMost is the longest list that is taken; a denser grid belongs in a
// file of its own.
const beamPointsMost = 5000

// candela checks that a list of intensities can be read as a beam: three
// directions that are not on one line, and one figure for each.
func (v *validator) candela(at string, p *PatternRecord) {
	if p.CutoffV != nil && len(p.Candela) == 0 {
		v.fault(at+".cutoff_v", "says where the cutoff lay among intensities, but there are none", "candela: [{h: 0, v: -1, cd: 20000}, ...]")
	}
	if len(p.Candela) == 0 {
		return
	}
	at += ".candela"
	if len(p.Candela) > beamPointsMost {
		v.fault(at, fmt.Sprintf("%d directions; at most %d are taken", len(p.Candela), beamPointsMost), "")
		return
	}
	seen := map[[2]float64]bool{}
	for i, point := range p.Candela {
		direction := [2]float64{point.H, point.V}
		if seen[direction] {
			v.fault(fmt.Sprintf("%s[%d]", at, i), fmt.Sprintf("the direction h %g, v %g stands twice", point.H, point.V), "")
			return
		}
		seen[direction] = true
	}
	if onOneLine(p.Candela) {
		v.fault(at, "needs at least three directions that are not on one line", "add directions to the side of the others and below them")
	}
}

// onOneLine says whether no three directions span an area.
func onOneLine(points []BeamPoint) bool {
	const nearly = 1e-6 // square degrees; angles are given to 0.01 degree at best
	for i := 2; i < len(points); i++ {
		a, b, c := points[0], points[1], points[i]
		if area := (b.H-a.H)*(c.V-a.V) - (b.V-a.V)*(c.H-a.H); area > nearly || area < -nearly {
			return false
		}
	}
	return true
}

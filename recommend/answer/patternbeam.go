package answer

import (
	"fmt"
	"math"
	"strings"

	"stillbright/data"
	"stillbright/recommend/beam"
	"stillbright/recommend/plaintext"
	"stillbright/recommend/road"
)

// beamRamp goes from dark to bright; each character holds about twice the light
// of the one before it.
const beamRamp = " .:-=+*#%@"

// beamAlt says what a drawn beam shows.
const beamAlt = "the beam from the driver's seat, more light by denser marks"

// beamRows is the height of a beam in plain characters.
const beamRows = 10

// beamBox is what of a beam is worth drawing, degrees: what was measured, within
// the road and the eyes of others.
func beamBox(left, right, down, up float64) (l, r, d, u float64) {
	return math.Max(left, -24), math.Min(right, 24), math.Max(down, -6), math.Min(up, 4)
}

// beamLines draws a beam in plain characters, a log scale from its peak down.
func beamLines(at func(h, v float64) (float64, bool), left, right, down, up float64, width int) []string {
	left, right, down, up = beamBox(left, right, down, up)
	wide := min(width-10, 64)
	if wide < 20 || right-left < 1 || up-down < 1 {
		return nil
	}
	// The brightest of a few places in each cell, so that no peak falls between.
	cells := make([]float64, beamRows*wide)
	peak := 0.0
	for i := range cells {
		cells[i] = -1
		for k := range 9 {
			h := left + (float64(i%wide)+(float64(k%3)+0.5)/3)/float64(wide)*(right-left)
			v := up - (float64(i/wide)+(float64(k/3)+0.5)/3)/beamRows*(up-down)
			if value, ok := at(h, v); ok {
				cells[i] = math.Max(cells[i], value)
			}
		}
		peak = math.Max(peak, cells[i])
	}
	if peak <= 0 {
		return nil
	}
	var lines []string
	for row := range beamRows {
		label := "     "
		top, bottom := up-float64(row)*(up-down)/beamRows, up-float64(row+1)*(up-down)/beamRows
		switch {
		case top >= 0 && bottom < 0:
			label = "    0"
		case row == 0:
			label = fmt.Sprintf("%+5.1f", up)
		case row == beamRows-1:
			label = fmt.Sprintf("%+5.1f", down)
		}
		line := []byte(label + " ")
		for _, value := range cells[row*wide : (row+1)*wide] {
			line = append(line, rampOf(value, peak))
		}
		lines = append(lines, strings.TrimRight(string(line), " "))
	}
	ends := [2]string{fmt.Sprintf("%+.0f", left), fmt.Sprintf("%+.0f deg", right)}
	axis := []byte(strings.Repeat(" ", 6+wide+4))
	copy(axis[6:], ends[0])
	copy(axis[6+wide-len(ends[1])+4:], ends[1])
	if left < -1 && right > 1 {
		axis[6+min(wide-1, int(-left/(right-left)*float64(wide)))] = '0'
	}
	lines = append(lines, strings.TrimRight(string(axis), " "))
	return append(lines, plaintext.Hang("      ", "      ", `@ peak, each step of %#*+=-:. half of the one before; ? not measured`, width)...)
}

func rampOf(value, peak float64) byte {
	if value < 0 {
		return '?'
	}
	if value == 0 {
		return ' '
	}
	step := len(beamRamp) - 1 + int(math.Floor(math.Log2(value/peak)+0.5))
	return beamRamp[min(max(step, 0), len(beamRamp)-1)]
}

// fieldPicture is a measured field.
type fieldPicture struct{ *beam.Field }

func (f fieldPicture) Lines(width int) []string {
	at := func(h, v float64) (float64, bool) {
		ih, iv := int(math.Round((h-f.H0)/f.Step)), int(math.Round((v-f.V0)/f.Step))
		if ih < 0 || iv < 0 || ih >= f.NH || iv >= f.NV || f.Values[iv*f.NH+ih] < 0 {
			return 0, false
		}
		return f.Values[iv*f.NH+ih], true
	}
	return beamLines(at, f.H0, f.H(f.NH-1), f.V0, f.V(f.NV-1), min(width, Width))
}

// pointPicture is the intensities of a record.
type pointPicture []data.BeamPoint

func (points pointPicture) Lines(width int) []string {
	if len(points) < 3 {
		return nil
	}
	list := make([]road.BeamPoint, len(points))
	left, right, down, up := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for i, p := range points {
		list[i] = road.BeamPoint{HDeg: p.H, VDeg: p.V, Candela: p.CD}
		left, right = math.Min(left, p.H), math.Max(right, p.H)
		down, up = math.Min(down, p.V), math.Max(up, p.V)
	}
	field, err := road.NewPointField(list)
	if err != nil {
		return nil
	}
	return beamLines(field.At, left, right, down, up, width)
}

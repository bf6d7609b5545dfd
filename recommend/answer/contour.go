package answer

import (
	"math"

	"stillbright/recommend/beam"
)

// sampled is a field on a coarser raster, each cell the mean of what lies within
// it, so that lines of equal light do not follow the noise. A cell without a
// measured value is negative.
type sampled struct {
	left, bottom, step float64
	nh, nv             int
	values             []float64
}

// sampleField averages a field over cells of a step, within a box.
func sampleField(f *beam.Field, left, right, down, up, step float64) sampled {
	s := sampled{left: left, bottom: down, step: step, nh: int((right-left)/step+1e-9) + 1, nv: int((up-down)/step+1e-9) + 1}
	s.values = make([]float64, s.nh*s.nv)
	reach := max(0, int(math.Round(step/2/f.Step)))
	for i := range s.values {
		ih := int(math.Round((left + float64(i%s.nh)*step - f.H0) / f.Step))
		iv := int(math.Round((down + float64(i/s.nh)*step - f.V0) / f.Step))
		sum, n := 0.0, 0
		for y := max(0, iv-reach); y <= min(f.NV-1, iv+reach); y++ {
			for x := max(0, ih-reach); x <= min(f.NH-1, ih+reach); x++ {
				if value := f.Values[y*f.NH+x]; value >= 0 {
					sum, n = sum+value, n+1
				}
			}
		}
		s.values[i] = -1
		if n > 0 {
			s.values[i] = sum / float64(n)
		}
	}
	return s
}

// place is a direction in degrees: right and up of the axis.
type place [2]float64

// contour follows a level through the raster by marching squares: each square of
// four neighbours gives the pieces that part those above from those below. A saddle
// is read as two corners. The pieces are joined to lines, each a row of places.
func (s sampled) contour(level float64) [][]place {
	var pieces [][2]place
	at := func(ih, iv int) float64 { return s.values[iv*s.nh+ih] }
	for iv := range s.nv - 1 {
		for ih := range s.nh - 1 {
			corners := [4]float64{at(ih, iv), at(ih+1, iv), at(ih+1, iv+1), at(ih, iv+1)}
			if min(corners[0], corners[1], corners[2], corners[3]) < 0 {
				continue
			}
			var cross []place
			for k := range 4 {
				a, b := corners[k], corners[(k+1)%4]
				if (a >= level) == (b >= level) {
					continue
				}
				f := (level - a) / (b - a)
				x, y := float64(ih), float64(iv)
				switch k {
				case 0:
					x += f
				case 1:
					x, y = x+1, y+f
				case 2:
					x, y = x+1-f, y+1
				default:
					y += 1 - f
				}
				cross = append(cross, place{s.left + x*s.step, s.bottom + y*s.step})
			}
			for k := 0; k+1 < len(cross); k += 2 {
				pieces = append(pieces, [2]place{cross[k], cross[k+1]})
			}
		}
	}
	return joined(pieces)
}

// joined puts pieces that share an end together to lines. Ends are compared to a
// millionth of a degree, since two squares reckon the place of one end.
func joined(pieces [][2]place) [][]place {
	type key [2]int64
	keyOf := func(p place) key { return key{int64(math.Round(p[0] * 1e6)), int64(math.Round(p[1] * 1e6))} }
	at := map[key][]int{}
	for i, piece := range pieces {
		for _, end := range piece {
			at[keyOf(end)] = append(at[keyOf(end)], i)
		}
	}
	used := make([]bool, len(pieces))
	// from walks on from an end until no piece is left there.
	from := func(end place) []place {
		var way []place
		for {
			next := -1
			for _, i := range at[keyOf(end)] {
				if !used[i] {
					next = i
					break
				}
			}
			if next < 0 {
				return way
			}
			used[next] = true
			if keyOf(pieces[next][0]) == keyOf(end) {
				end = pieces[next][1]
			} else {
				end = pieces[next][0]
			}
			way = append(way, end)
		}
	}
	var lines [][]place
	for i, piece := range pieces {
		if used[i] {
			continue
		}
		used[i] = true
		line := append([]place{piece[0], piece[1]}, from(piece[1])...)
		back := from(piece[0])
		for a, b := 0, len(back)-1; a < b; a, b = a+1, b-1 {
			back[a], back[b] = back[b], back[a]
		}
		lines = append(lines, append(back, line...))
	}
	return lines
}

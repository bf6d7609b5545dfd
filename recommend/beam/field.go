package beam

import "math"

// Missing marks a cell of a Field that was not measured.
const Missing = -1

// Field is a beam on an even raster of angles, ready to be drawn. Values hold
// lux, candela or a plain ratio, never negative but for Missing.
type Field struct {
	H0, V0 float64 // degrees of the centre of the first cell: lowest h, lowest v
	Step   float64 // degrees
	NH, NV int
	Values []float64 // Values[iv*NH+ih]
}

func newField(h0, h1, v0, v1, step float64) *Field {
	nh, nv := int(math.Round((h1-h0)/step))+1, int(math.Round((v1-v0)/step))+1
	f := &Field{H0: h0, V0: v0, Step: step, NH: max(nh, 2), NV: max(nv, 2)}
	f.Values = make([]float64, f.NH*f.NV)
	return f
}

// H and V give the angles of a column and a row.
func (f *Field) H(ih int) float64 { return f.H0 + float64(ih)*f.Step }

// V gives the angle of a row.
func (f *Field) V(iv int) float64 { return f.V0 + float64(iv)*f.Step }

func (f *Field) value(ih, iv int) float64 {
	if ih < 0 || iv < 0 || ih >= f.NH || iv >= f.NV {
		return Missing
	}
	return f.Values[iv*f.NH+ih]
}

// near gives the value of the cell that holds h, v.
func (f *Field) near(h, v float64) float64 {
	return f.value(int(math.Round((h-f.H0)/f.Step)), int(math.Round((v-f.V0)/f.Step)))
}

// like makes a field of the same raster from a function of the cell index.
func (f *Field) like(of func(i int) float64) *Field {
	g := *f
	g.Values = make([]float64, len(f.Values))
	for i := range g.Values {
		g.Values[i] = of(i)
	}
	return &g
}

// mirrored swaps left and right.
func (f *Field) mirrored() *Field {
	g := *f
	g.H0 = -f.H(f.NH - 1)
	g.Values = make([]float64, len(f.Values))
	for iv := range f.NV {
		row, out := f.Values[iv*f.NH:(iv+1)*f.NH], g.Values[iv*f.NH:(iv+1)*f.NH]
		for ih, v := range row {
			out[f.NH-1-ih] = v
		}
	}
	return &g
}

// smoothed is the field under a Gaussian of sigma degrees; missing cells take no
// part and stay missing.
func (f *Field) smoothed(sigma float64) *Field {
	reach := int(math.Ceil(3 * sigma / f.Step))
	if reach < 1 {
		return f
	}
	kernel := make([]float64, reach+1)
	for i := range kernel {
		x := float64(i) * f.Step / sigma
		kernel[i] = math.Exp(-x * x / 2)
	}
	weight, sum := make([]float64, len(f.Values)), make([]float64, len(f.Values))
	complete := true
	for i, v := range f.Values {
		if v >= 0 {
			weight[i], sum[i] = 1, v
		} else {
			complete = false
		}
	}
	sum = convolve(convolve(sum, f.NH, f.NV, kernel, false), f.NH, f.NV, kernel, true)
	if complete {
		// The weights of a complete field are the same for every row and column.
		across, along := edgeWeights(f.NH, kernel), edgeWeights(f.NV, kernel)
		return f.like(func(i int) float64 { return sum[i] / (across[i%f.NH] * along[i/f.NH]) })
	}
	weight = convolve(convolve(weight, f.NH, f.NV, kernel, false), f.NH, f.NV, kernel, true)
	return f.like(func(i int) float64 {
		if f.Values[i] < 0 {
			return Missing
		}
		return sum[i] / weight[i]
	})
}

func edgeWeights(n int, kernel []float64) []float64 {
	w := make([]float64, n)
	for i := range w {
		w[i] = kernel[0]
		for k := 1; k < len(kernel); k++ {
			if i-k >= 0 {
				w[i] += kernel[k]
			}
			if i+k < n {
				w[i] += kernel[k]
			}
		}
	}
	return w
}

// convolve applies a symmetric kernel along rows, or along columns when down.
func convolve(in []float64, nh, nv int, kernel []float64, down bool) []float64 {
	out := make([]float64, len(in))
	if down {
		for iv := range nv {
			row := out[iv*nh : (iv+1)*nh]
			for k := -len(kernel) + 1; k < len(kernel); k++ {
				if iv+k < 0 || iv+k >= nv {
					continue
				}
				w := kernel[max(k, -k)]
				for ih, v := range in[(iv+k)*nh : (iv+k+1)*nh] {
					row[ih] += w * v
				}
			}
		}
		return out
	}
	for iv := range nv {
		row, to := in[iv*nh:(iv+1)*nh], out[iv*nh:(iv+1)*nh]
		for k := -len(kernel) + 1; k < len(kernel); k++ {
			w := kernel[max(k, -k)]
			from := max(0, -k)
			until := min(nh, nh-k)
			for ih := from; ih < until; ih++ {
				to[ih] += w * row[ih+k]
			}
		}
	}
	return out
}

// Area is a connected part of a beam.
type Area struct {
	H     float64 `json:"h_deg" doc:"its centre, degrees right of the axis"` // its centre
	V     float64 `json:"v_deg" doc:"its centre, degrees above the axis"`
	Left  float64 `json:"left_deg" doc:"its left end"` // its extent
	Right float64 `json:"right_deg" doc:"its right end"`
	Down  float64 `json:"down_deg" doc:"its lower end"`
	Up    float64 `json:"up_deg" doc:"its upper end"`
	Size  float64 `json:"area_deg2" doc:"its area, square degrees"`
	// Ratio is the least light in a dark spot over the light on both its sides, or
	// the most light in a stray patch over the stock beam (its sides without one).
	Ratio float64 `json:"ratio" doc:"least light in a dark spot over the light beside it, or most light in a stray patch over stock (over its sides without a stock beam)"`
	sum   float64 // area times missing share
}

// areas joins marked cells (8 neighbours) into areas of at least least square
// degrees, largest first in reading order of their first cell. ratio is read per
// cell; lowest says whether the least or the greatest one names the area.
func (f *Field) areas(marked []bool, ratio []float64, least float64, lowest bool) []Area {
	seen := make([]bool, len(marked))
	cell := f.Step * f.Step
	var found []Area
	var stack []int
	for start, on := range marked {
		if !on || seen[start] {
			continue
		}
		a := Area{Left: math.Inf(1), Right: math.Inf(-1), Down: math.Inf(1), Up: math.Inf(-1), Ratio: ratio[start]}
		stack = append(stack[:0], start)
		seen[start] = true
		n := 0.0
		for len(stack) > 0 {
			i := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			ih, iv := i%f.NH, i/f.NH
			h, v := f.H(ih), f.V(iv)
			n++
			a.H, a.V = a.H+h, a.V+v
			a.Left, a.Right = math.Min(a.Left, h-f.Step/2), math.Max(a.Right, h+f.Step/2)
			a.Down, a.Up = math.Min(a.Down, v-f.Step/2), math.Max(a.Up, v+f.Step/2)
			if lowest == (ratio[i] < a.Ratio) {
				a.Ratio = ratio[i]
			}
			a.sum += (1 - ratio[i]) * cell
			for dv := -1; dv <= 1; dv++ {
				for dh := -1; dh <= 1; dh++ {
					jh, jv := ih+dh, iv+dv
					if jh < 0 || jv < 0 || jh >= f.NH || jv >= f.NV {
						continue
					}
					if j := jv*f.NH + jh; marked[j] && !seen[j] {
						seen[j] = true
						stack = append(stack, j)
					}
				}
			}
		}
		if a.Size = n * cell; a.Size >= least {
			a.H, a.V = a.H/n, a.V/n
			found = append(found, a)
		}
	}
	return found
}

func (a Area) mirrored() Area {
	a.H, a.Left, a.Right = -a.H, -a.Right, -a.Left
	return a
}

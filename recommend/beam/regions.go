package beam

import "math"

// strayBase is how far above the cutoff the region of stray light begins: a lamp
// is aimed with its cutoff 0.57 degree (1 %) down, and zone III of UN R112 begins
// on the horizon. strayBaseFog is judgement: clear of the edge of a fog beam.
const (
	strayBase    = 0.57
	strayBaseFog = 0.75
	strayTopFog  = 5.0
	strayHalfFog = 10.0
)

// zoneThree is the outline of zone III of UN R112, h toward the kerb, v above the
// horizon, degrees (OJ-R112 para 6.2.4).
var zoneThree = [8][2]float64{{-8, 1}, {-8, 4}, {8, 4}, {8, 2}, {6, 1.5}, {1.5, 1.5}, {0, 0}, {-4, 0}}

// inPolygon is the even-odd rule; the outline itself counts as inside.
func inPolygon(outline [][2]float64, h, v float64) bool {
	inside := false
	for i, j := 0, len(outline)-1; i < len(outline); j, i = i, i+1 {
		a, b := outline[i], outline[j]
		cross := (b[0]-a[0])*(v-a[1]) - (b[1]-a[1])*(h-a[0])
		if math.Abs(cross) < 1e-9 && h >= math.Min(a[0], b[0])-1e-9 && h <= math.Max(a[0], b[0])+1e-9 &&
			v >= math.Min(a[1], b[1])-1e-9 && v <= math.Max(a[1], b[1])+1e-9 {
			return true
		}
		if (a[1] > v) != (b[1] > v) && h < (b[0]-a[0])*(v-a[1])/(b[1]-a[1])+a[0] {
			inside = !inside
		}
	}
	return inside
}

// strayOutline is the border of that region, h toward the kerb.
func strayOutline(kind string, cutoff float64) (outline []Point) {
	if kind == Fog {
		low, high := cutoff+strayBaseFog, cutoff+strayBaseFog+strayTopFog
		return []Point{{H: -strayHalfFog, V: low}, {H: -strayHalfFog, V: high}, {H: strayHalfFog, V: high}, {H: strayHalfFog, V: low}}
	}
	for _, corner := range zoneThree {
		outline = append(outline, Point{H: corner[0], V: corner[1] + cutoff + strayBase})
	}
	return outline
}

// strayRegion says whether a direction belongs to the judged region above a cutoff.
func strayRegion(kind string, cutoff, h, v float64) bool {
	if kind == Fog {
		up := v - cutoff - strayBaseFog
		return math.Abs(h) <= strayHalfFog && up >= 0 && up <= strayTopFog
	}
	return inPolygon(zoneThree[:], h, v-cutoff-strayBase)
}

// aboveCutoff says whether a direction lies clear above the cutoff and its rise
// on the kerb side, however far out.
func aboveCutoff(kind string, cutoff, h, v float64) bool {
	if kind == Fog {
		return v >= cutoff+strayBaseFog
	}
	return v >= cutoff+strayBase+math.Max(0, math.Min(1.5, h))
}

// strayFound is the light above the cutoff.
type strayFound struct {
	measured bool
	mean     float64 // in the unit of the field
	most     float64
	vsStock  *float64
	// vsStockHigh is the ratio if all the light that could be room light or flare
	// were: the darkest cell of both pictures, taken off both.
	vsStockHigh *float64
	tooDark     bool // the stock picture holds no figure there
	patches     []Area
}

// stray measures the region above cutoff. stock may be nil. Patches are areas with
// patchRatio times the light of stock, or of both their sides without stock.
const (
	patchRatio  = 1.6
	patchExcess = 0.004 // of the peak: under it nobody is dazzled by a patch
	covered     = 0.6   // share of the region that must have been measured
)

func (s *source) stray(kind string, cutoff float64, stock *source, least float64) strayFound {
	var out strayFound
	f := s.field
	var n, have, onN, dark int
	var sum, stockSum, on, stockOn float64
	for iv := range f.NV {
		v := f.V(iv)
		for ih := range f.NH {
			h := f.H(ih)
			if !strayRegion(kind, cutoff, h, v) {
				continue
			}
			n++
			i := iv*f.NH + ih
			if f.Values[i] < 0 || stock != nil && stock.field.Values[i] < 0 {
				continue
			}
			have++
			sum += f.Values[i]
			out.most = math.Max(out.most, s.soft.Values[i])
			if stock == nil {
				continue
			}
			stockSum += stock.field.Values[i]
			if stock.soft.Values[i] <= stock.floor {
				dark++
			}
			if h < 0 {
				onN++
				on, stockOn = on+f.Values[i], stockOn+stock.field.Values[i]
			}
		}
	}
	if n == 0 || float64(have) < covered*regionCells(kind, f.Step) {
		return out
	}
	out.measured = true
	out.mean = sum / float64(have)
	if stock != nil {
		if dark*3 > have || stockSum <= 0 || stockOn <= 0 {
			out.tooDark = true
		} else {
			ratio := math.Max(sum/stockSum, on/stockOn)
			out.vsStock = &ratio
			room := math.Min(leastOf(s.soft), leastOf(stock.soft))
			high := ratio
			if rest := stockSum - room*float64(have); rest > 0.05*stockSum {
				high = math.Max(high, (sum-room*float64(have))/rest)
			} else {
				high = math.Max(high, 20*sum/stockSum)
			}
			if rest := stockOn - room*float64(onN); rest > 0.05*stockOn {
				high = math.Max(high, (on-room*float64(onN))/rest)
			}
			out.vsStockHigh = &high
		}
	}
	if !out.tooDark {
		out.patches = s.patches(kind, cutoff, stock, least)
	}
	return out
}

// regionCells is how many cells of a step the whole region would have.
func regionCells(kind string, step float64) float64 {
	area := 2 * strayHalfFog * strayTopFog
	if kind != Fog {
		area = 0
		for i, j := 0, len(zoneThree)-1; i < len(zoneThree); j, i = i, i+1 {
			area += (zoneThree[j][0]*zoneThree[i][1] - zoneThree[i][0]*zoneThree[j][1]) / 2
		}
	}
	return math.Abs(area) / (step * step)
}

func leastOf(f *Field) float64 {
	least := math.Inf(1)
	for _, v := range f.Values {
		if v >= 0 {
			least = math.Min(least, v)
		}
	}
	if math.IsInf(least, 1) {
		return 0
	}
	return least
}

func (s *source) patches(kind string, cutoff float64, stock *source, least float64) []Area {
	f := s.soft
	marked, ratio := make([]bool, len(f.Values)), make([]float64, len(f.Values))
	steps := offsets(f, 1, 1.5, 2.2, 3.2)
	peak, floor := s.peak, s.floor
	if stock != nil {
		peak, floor = stock.peak, math.Max(stock.floor, 0.001*stock.peak)
	}
	for iv := range f.NV {
		v := f.V(iv)
		for ih := range f.NH {
			i := iv*f.NH + ih
			e := f.Values[i]
			if e < patchExcess*peak || !aboveCutoff(kind, cutoff, f.H(ih), v) {
				continue
			}
			if stock != nil {
				if o := stock.soft.Values[i]; o >= 0 {
					ratio[i] = (e + floor) / (o + floor)
					marked[i] = ratio[i] > patchRatio && e-o > patchExcess*peak
				}
				continue
			}
			ratio[i] = f.bump(ih, iv, steps)
			marked[i] = ratio[i] > patchRatio
		}
	}
	return f.areas(marked, ratio, least, false)
}

// offset is a step to both sides of a cell.
type offset struct{ dh, dv int }

// offsets gives steps in four directions at several distances in degrees.
func offsets(f *Field, distances ...float64) [][4]offset {
	out := make([][4]offset, 0, len(distances))
	for _, d := range distances {
		n, k := int(math.Round(d/f.Step)), int(math.Round(d/f.Step/math.Sqrt2))
		if n > 0 && k > 0 {
			out = append(out, [4]offset{{n, 0}, {0, n}, {k, k}, {k, -k}})
		}
	}
	return out
}

// bump is how far a cell stands above both its sides in every direction: the
// least over directions, the most over distances, of E over the brighter side.
func (f *Field) bump(ih, iv int, steps [][4]offset) float64 {
	e, best := f.value(ih, iv), 0.0
	for _, four := range steps {
		worst := math.Inf(1)
		for _, o := range four {
			side := math.Max(f.value(ih+o.dh, iv+o.dv), f.value(ih-o.dh, iv-o.dv))
			if side <= 0 {
				worst = 0
				break
			}
			worst = math.Min(worst, e/side)
		}
		best = math.Max(best, worst)
	}
	return best
}

// valley is how far a cell lies under both its sides in some direction: the least
// over directions and distances of E over the darker side. Beams that fall away
// from one peak along every line have none. Sides under lit do not count.
func (f *Field) valley(ih, iv int, steps [][4]offset, lit float64, of *Field) float64 {
	e, least := f.value(ih, iv), 1.0
	for _, four := range steps {
		for _, o := range four {
			if of.value(ih+o.dh, iv+o.dv) < lit || of.value(ih-o.dh, iv-o.dv) < lit {
				continue
			}
			side := math.Min(f.value(ih+o.dh, iv+o.dv), f.value(ih-o.dh, iv-o.dv))
			if side > 0 && e/side < least {
				least = e / side
			}
		}
	}
	return least
}

package beam

import (
	"encoding/binary"
	"errors"
	"math"
	"slices"
)

// level takes off black and makes white 1, by the file's own figures.
func (r *raw) level(t *tiff, d ifd) error {
	area := d.numbers(tagActiveArea, 0, 0, float64(r.h), float64(r.w))
	if len(area) != 4 || !(area[0] >= 0 && area[1] >= 0 && area[2] <= float64(r.h) && area[3] <= float64(r.w) && area[2] > area[0] && area[3] > area[1]) {
		return errors.New("raw file: its active area lies outside")
	}
	r.top, r.left = int(area[0]), int(area[1])
	if r.parts == 1 && d.number(tagPhotometric, 0) == photoMosaic {
		size, colours := d.numbers(tagPatternSize, 2, 2), d.bytes(tagPattern)
		if len(size) != 2 || size[0] != 2 || size[1] != 2 || len(colours) != 4 {
			return errors.New("raw file: only mosaics of 2 by 2 are read")
		}
		for i := range 2 {
			r.pattern = append(r.pattern, []int{int(colours[2*i]), int(colours[2*i+1])})
		}
		seen := [3]bool{}
		for _, c := range colours {
			if c > 2 {
				return errors.New("raw file: only mosaics of red, green and blue are read")
			}
			seen[c] = true
		}
		if !seen[0] || !seen[1] || !seen[2] {
			return errors.New("raw file: its mosaic lacks a colour")
		}
	}
	if table := d.numbers(tagLinearization); len(table) > 0 {
		for i, v := range r.v {
			r.v[i] = float32(table[min(int(v), len(table)-1)])
		}
	}
	blackSize, black := d.numbers(tagBlackSize, 1, 1), d.numbers(tagBlack, 0)
	if len(blackSize) != 2 || blackSize[0] < 1 || blackSize[1] < 1 || len(black) < int(blackSize[0]*blackSize[1]) {
		return errors.New("raw file: its black levels are not told")
	}
	white := d.number(tagWhite, math.Exp2(d.number(tagBits, 8))-1)
	if most := slices.Max(black); !(white > most) || math.IsNaN(most) {
		return errors.New("raw file: its white is not above its black")
	}
	bh, bw := int(blackSize[0]), int(blackSize[1])
	per := 1
	if len(black) >= bh*bw*r.parts {
		per = r.parts // a level for each sample
	}
	r.white = make([]bool, len(r.v))
	for y := range r.h {
		by := (y - r.top%bh + bh) % bh
		for x := range r.w {
			bx := (x - r.left%bw + bw) % bw
			for k := range r.parts {
				i := (y*r.w+x)*r.parts + k
				b := black[(by*bw+bx)*per+min(k, per-1)]
				r.white[i] = float64(r.v[i])-b >= clippedRaw*(white-b)
				r.v[i] = float32(max(0, (float64(r.v[i])-b)/(white-b)))
			}
		}
	}
	return nil
}

// shading undoes the lens's loss by the gain maps of an opcode list (DNG 1.4, chapter
// 7; from memory), and says whether there was one. The list is big-endian always.
func (r *raw) shading(list []byte) (bool, error) {
	if len(list) < 4 {
		return false, nil
	}
	order := binary.BigEndian
	n, rest := order.Uint32(list), list[4:]
	found := false
	for range min(n, 64) {
		if len(rest) < 16 {
			break
		}
		id, size := order.Uint32(rest), uint64(order.Uint32(rest[12:]))
		if 16+size > uint64(len(rest)) {
			return found, errors.New("raw file: its list of corrections is cut short")
		}
		body := rest[16 : 16+size]
		rest = rest[16+size:]
		const gainMap = 9
		if id != gainMap || len(body) < 76 {
			continue
		}
		if err := r.gain(body); err != nil {
			return found, err
		}
		found = true
	}
	return found, nil
}

// gain multiplies the samples of one gain map.
func (r *raw) gain(body []byte) error {
	order := binary.BigEndian
	word := func(i int) int { return int(order.Uint32(body[4*i:])) }
	real := func(at int) float64 { return math.Float64frombits(order.Uint64(body[at:])) }
	top, left, bottom, right := word(0), word(1), word(2), word(3)
	plane, planes, pitchV, pitchH := word(4), word(5), word(6), word(7)
	nv, nh := word(8), word(9)
	stepV, stepH, fromV, fromH := real(40), real(48), real(56), real(64)
	mapPlanes := int(order.Uint32(body[72:]))
	if nv < 1 || nh < 1 || mapPlanes < 1 || nv > 4096 || nh > 4096 || mapPlanes > 4 || len(body) < 76+4*nv*nh*mapPlanes || pitchV < 1 || pitchH < 1 ||
		(nv > 1 && !(stepV > 0)) || (nh > 1 && !(stepH > 0)) {
		return errors.New("raw file: its map of the lens is damaged")
	}
	// The area and the map count from the active area's corner.
	high, wide := float64(bottom-top), float64(right-left)
	at := func(y, x, k int) float64 {
		return float64(math.Float32frombits(order.Uint32(body[76+4*((y*nh+x)*mapPlanes+k):])))
	}
	place := func(share, from, step float64, n int) (int, float64) {
		if n == 1 {
			return 0, 0
		}
		p := math.Max(0, math.Min(float64(n-1), (share-from)/step))
		i := min(int(p), n-2)
		return i, p - float64(i)
	}
	for y := top; y < bottom && y+r.top < r.h; y += pitchV {
		iy, fy := place((float64(y-top)+0.5)/high, fromV, stepV, nv)
		for x := left; x < right && x+r.left < r.w; x += pitchH {
			ix, fx := place((float64(x-left)+0.5)/wide, fromH, stepH, nh)
			for k := plane; k < plane+planes && k < r.parts; k++ {
				m := min(k-plane, mapPlanes-1)
				g := at(iy, ix, m)
				if nh > 1 || nv > 1 {
					iy1, ix1 := min(iy+1, nv-1), min(ix+1, nh-1)
					g = (g*(1-fx)+at(iy, ix1, m)*fx)*(1-fy) + (at(iy1, ix, m)*(1-fx)+at(iy1, ix1, m)*fx)*fy
				}
				if !(g > 0 && g < 100) {
					return errors.New("raw file: its map of the lens is damaged")
				}
				r.v[((y+r.top)*r.w+x+r.left)*r.parts+k] *= float32(g)
			}
		}
	}
	return nil
}

// luminance is how much of each of the camera's colours makes the eye's light.
func (t *tiff) luminance(d ifd) [3]float64 {
	for _, tag := range []int{tagMatrix2, tagMatrix1} {
		m := t.first.numbers(tag)
		if len(m) != 9 {
			continue
		}
		var flat [9]float64
		copy(flat[:], m)
		if inv, ok := inverse3(flat); ok {
			sum := 0.0
			w := [3]float64{inv[3], inv[4], inv[5]}
			for _, v := range w {
				sum += math.Max(0, v)
			}
			if sum > 0 && !math.IsInf(sum, 0) {
				return [3]float64{w[0] / sum, w[1] / sum, w[2] / sum}
			}
		}
	}
	return [3]float64{redShare, greenShare, blueShare}
}

// develop makes luminance: a missing colour is the mean of its neighbours.
func (r *raw) develop(weights [3]float64) *Plane {
	p := &Plane{w: r.w, h: r.h, e: make([]float32, r.w*r.h), floor: r.floor}
	w := [3]float32{float32(weights[0]), float32(weights[1]), float32(weights[2])}
	for y := range r.h {
		for x := range r.w {
			i := y*r.w + x
			if r.pattern == nil {
				k := r.parts
				if k == 1 {
					if p.e[i] = r.v[i]; r.white[i] {
						p.e[i] = clippedLight
					}
					continue
				}
				e := w[0]*r.v[3*i] + w[1]*r.v[3*i+1] + w[2]*r.v[3*i+2]
				if p.e[i] = max(0, e); r.white[3*i] || r.white[3*i+1] || r.white[3*i+2] {
					p.e[i] = clippedLight
				}
				continue
			}
			p.e[i] = r.mosaic(x, y, w)
		}
	}
	return p
}

// mosaic is the luminance at a place of a mosaic.
func (r *raw) mosaic(x, y int, w [3]float32) float32 {
	var sum [3]float32
	var n [3]float32
	own := r.colour(x, y)
	for dy := -1; dy <= 1; dy++ {
		for dx := -1; dx <= 1; dx++ {
			a, b := x+dx, y+dy
			if a < 0 || b < 0 || a >= r.w || b >= r.h {
				continue
			}
			i := b*r.w + a
			if r.white[i] {
				return clippedLight
			}
			c := r.colour(a, b)
			if c == own && (dx != 0 || dy != 0) {
				continue
			}
			sum[c], n[c] = sum[c]+r.v[i], n[c]+1
		}
	}
	e := float32(0)
	for c := range 3 {
		if n[c] > 0 {
			e += w[c] * sum[c] / n[c]
		}
	}
	return max(0, e)
}

func (r *raw) colour(x, y int) int {
	return r.pattern[(y-r.top)&1][(x-r.left)&1]
}

// cropped is the part of the picture that is meant to be looked at.
func (p *Plane) cropped(t *tiff, d ifd) (*Plane, error) {
	area := d.numbers(tagActiveArea, 0, 0, float64(p.h), float64(p.w))
	x0, y0, w, h := area[1], area[0], area[3]-area[1], area[2]-area[0]
	if o, s := d.numbers(tagCropOrigin), d.numbers(tagCropSize); len(o) == 2 && len(s) == 2 {
		x0, y0, w, h = x0+math.Trunc(o[0]), y0+math.Trunc(o[1]), math.Trunc(s[0]), math.Trunc(s[1])
	}
	if !(x0 >= 0 && y0 >= 0 && w >= MinSide && h >= MinSide && x0+w <= float64(p.w) && y0+h <= float64(p.h)) {
		return nil, errors.New("raw file: what it shows lies outside the sensor")
	}
	out := &Plane{w: int(w), h: int(h), e: make([]float32, int(w)*int(h)), floor: p.floor, flat: p.flat, raw: true}
	for y := range out.h {
		copy(out.e[y*out.w:(y+1)*out.w], p.e[(y+int(y0))*p.w+int(x0):])
	}
	return out, nil
}

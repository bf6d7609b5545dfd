package beam

import (
	"errors"
	"image"
	"math"
)

// EdgeBlur measures the blur of a camera on a sharp, straight, printed edge within
// area of a picture: the standard deviation in pixels across the edge. The edge
// must run within 30 degrees of upright or level and have a contrast of at least
// two to one. The paper must be lit evenly.
func EdgeBlur(img image.Image, area image.Rectangle) (float64, error) {
	area = area.Sub(img.Bounds().Min)
	p := newPixels(img, newTables(""))
	area = area.Intersect(image.Rect(0, 0, p.w, p.h))
	if area.Dx() < 12 || area.Dy() < 12 || area.Dx() > 2000 || area.Dy() > 2000 {
		return 0, errors.New("edge: the area must be 12 to 2000 pixels wide and high, inside the picture")
	}
	light := make([][]float64, area.Dy())
	row := make([]float32, area.Dx())
	var across, along float64
	for y := range light {
		p.row(area.Min.Y+y, area.Min.X, row)
		light[y] = make([]float64, len(row))
		for x, e := range row {
			if e >= clippedLight {
				return 0, errors.New("edge: the area is clipped to white")
			}
			light[y][x] = float64(e)
			if x > 0 {
				across += math.Abs(light[y][x] - light[y][x-1])
			}
			if y > 0 {
				along += math.Abs(light[y][x] - light[y-1][x])
			}
		}
	}
	if along > across {
		light = transposed(light)
	}
	return edgeSpread(light)
}

func transposed(m [][]float64) [][]float64 {
	out := make([][]float64, len(m[0]))
	for x := range out {
		out[x] = make([]float64, len(m))
		for y := range m {
			out[x][y] = m[y][x]
		}
	}
	return out
}

// edgeSpread lines the rows up on a straight edge fitted through their half-light
// places and returns the standard deviation of the derivative of the mean step.
func edgeSpread(light [][]float64) (float64, error) {
	n := len(light[0])
	var sx, sy, sxx, sxy, count float64
	for y, row := range light {
		low, high := ends(row)
		if math.Max(low, high) < 2*math.Min(low, high)+1e-4 {
			continue
		}
		half := (low + high) / 2
		for x := 1; x < n; x++ {
			if (row[x-1]-half)*(row[x]-half) < 0 {
				at := float64(x-1) + (half-row[x-1])/(row[x]-row[x-1])
				sx, sy, sxx, sxy, count = sx+float64(y), sy+at, sxx+float64(y*y), sxy+float64(y)*at, count+1
				break
			}
		}
	}
	if count < 0.8*float64(len(light)) {
		return 0, errors.New("edge: no straight edge with a contrast of two to one was found in the area")
	}
	slope := (count*sxy - sx*sy) / (count*sxx - sx*sx)
	base := (sy - slope*sx) / count
	if math.Abs(slope) > math.Tan(radians(30)) {
		return 0, errors.New("edge: must run within 30 degrees of upright or level")
	}
	// Steps of a quarter pixel from the edge; reach is what the area leaves.
	const per = 4
	reach := 12 * per
	sum, num := make([]float64, 2*reach+1), make([]float64, 2*reach+1)
	for y, row := range light {
		for x, e := range row {
			k := int(math.Round((float64(x)-base-slope*float64(y))*per*math.Cos(math.Atan(slope)))) + reach
			if k >= 0 && k < len(sum) {
				sum[k], num[k] = sum[k]+e, num[k]+1
			}
		}
	}
	var step []float64
	for k := range sum {
		if num[k] > 0 {
			step = append(step, sum[k]/num[k])
		} else if len(step) > 0 {
			step = append(step, step[len(step)-1])
		}
	}
	return stepDeviation(step, per)
}

func ends(row []float64) (low, high float64) {
	k := max(2, len(row)/6)
	for i := range k {
		low += row[i] / float64(k)
		high += row[len(row)-1-i] / float64(k)
	}
	return low, high
}

// stepDeviation is the standard deviation of the derivative of a blurred step in
// pixels. A first figure comes from the quarters of the step, 1.349 deviations
// apart in a Gaussian; the second moment is then taken near the edge only, where
// noise weighs little. The larger one counts: too much blur claims too little.
func stepDeviation(step []float64, per float64) (float64, error) {
	low, high := ends(step)
	place := func(share float64) float64 {
		level := low + share*(high-low)
		for i := 1; i < len(step); i++ {
			if (step[i-1]-level)*(step[i]-level) <= 0 && step[i] != step[i-1] {
				return float64(i-1) + (level-step[i-1])/(step[i]-step[i-1])
			}
		}
		return math.NaN()
	}
	middle, width := place(0.5), math.Abs(place(0.75)-place(0.25))
	if math.IsNaN(width) || math.IsNaN(middle) {
		return 0, errors.New("edge: its profile could not be read")
	}
	first := width / 1.349 / per
	reach := (2.5*first + 1) * per
	var weight, moment, mean float64
	for i := 1; i < len(step); i++ {
		x := float64(i) - 0.5 - middle
		if math.Abs(x) <= reach {
			d := (step[i] - step[i-1]) / (high - low)
			weight, mean, moment = weight+d, mean+d*x, moment+d*x*x
		}
	}
	variance := first * first
	if weight > 0.5 {
		mean /= weight
		variance = math.Max(variance, (moment/weight-mean*mean)/(per*per))
	}
	// The pixel's own square, and the steps, are counted elsewhere.
	return math.Sqrt(math.Max(0, variance-1.0/12-1.0/12/(per*per))), nil
}

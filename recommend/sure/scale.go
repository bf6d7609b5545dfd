package sure

import (
	"fmt"
	"math"
)

// Scale turns a hot vs-stock ratio q into the output value 0..1:
// (sqrt q - sqrt Q0) / (sqrt Q1 - sqrt Q0), held between 0 and 1. The square
// root stands for seeing, which gains less than the light does.
type Scale struct {
	Q0 float64 // ratio of value 0: clearly dimmer than stock
	Q1 float64 // ratio of value 1: from here on more light stops helping
}

// Value returns the output value of the ratio q, which is above zero.
func (s Scale) Value(q float64) float64 {
	r := s.root()
	return unit((math.Sqrt(q) - r.low) * r.slope)
}

// Ratio returns the ratio whose output value is v, 0..1: the inverse of Value.
func (s Scale) Ratio(v float64) float64 {
	low := math.Sqrt(s.Q0)
	root := low + v*(math.Sqrt(s.Q1)-low)
	return root * root
}

func (s Scale) check() error {
	if !(s.Q0 >= 0 && s.Q1 > s.Q0) || math.IsInf(s.Q1, 0) {
		return fmt.Errorf("scale of the output value from %g to %g, legal: 0 or more, then a larger finite ratio", s.Q0, s.Q1)
	}
	return nil
}

func unit(x float64) float64 {
	return min(max(x, 0), 1)
}

// rootScale is a Scale with its square roots taken, for the many draws.
type rootScale struct {
	low, slope float64
	from, to   float64 // logs of the ratios of value 0 and 1
}

func (s Scale) root() rootScale {
	low := math.Sqrt(s.Q0)
	return rootScale{low, 1 / (math.Sqrt(s.Q1) - low), math.Log(s.Q0), math.Log(s.Q1)}
}

// open is fromLog without the floor at 0: a light far below the scale is worse than
// one at its end.
func (r rootScale) open(logRatio float64) float64 {
	if logRatio >= r.to {
		return 1
	}
	return min(1, (math.Exp(logRatio/2)-r.low)*r.slope)
}

// fromLog is Value of the ratio whose natural logarithm is given.
func (r rootScale) fromLog(logRatio float64) float64 {
	switch {
	case logRatio <= r.from:
		return 0
	case logRatio >= r.to:
		return 1
	}
	return unit((math.Exp(logRatio/2) - r.low) * r.slope)
}

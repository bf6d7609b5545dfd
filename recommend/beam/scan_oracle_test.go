package beam

import (
	"errors"
	"math"
)

// Sharpness returns the largest G = log10 E(b) - log10 E(b + 0.1 deg) of a vertical
// scan, and its b. The scan holds light e (any unit, above 0) at v0, v0+step, …
// degrees upward; scanStep is the step of b in degrees (the rules scan by 0.05).
// Source: UN R112 annex on the cutoff; 49 CFR 571.108 S10.18.9.1.5.4.
func Sharpness(v0, step float64, e []float64, scanStep float64) (g, b float64, err error) {
	p, err := checkedProfile(v0, step, e)
	if err != nil {
		return 0, 0, err
	}
	if !(scanStep > 0 && scanStep <= 1) {
		return 0, 0, errors.New("scan step: must be above 0 and at most 1 degree")
	}
	last := p.v(len(e) - 1)
	if last-v0 < gStep {
		return 0, 0, errors.New("scan: must cover at least 0.1 degree")
	}
	g, b = p.gAt(p.logs(math.SmallestNonzeroFloat64), v0, last-gStep+1e-9, scanStep)
	return g, b, nil
}

// Inflection returns where log E falls fastest on a vertical scan, the inflection
// point d2(log E)/dv2 = 0 by which the UN rules place a cutoff. Arguments as in
// Sharpness; window is the half-width in degrees of the fits behind the slope.
func Inflection(v0, step float64, e []float64, window float64) (v float64, err error) {
	p, err := checkedProfile(v0, step, e)
	if err != nil {
		return 0, err
	}
	m := max(1, int(math.Round(window/step)))
	if 2*m+3 > len(e) {
		return 0, errors.New("window: wider than the scan")
	}
	v, _, ok := p.steepest(slopes(p.logs(math.SmallestNonzeroFloat64), step, m), v0, p.v(len(e)-1), func(int) bool { return true })
	if !ok {
		return 0, errors.New("scan: the light falls nowhere inside it")
	}
	return v, nil
}

func checkedProfile(v0, step float64, e []float64) (profile, error) {
	if !(step > 0 && step < 10) || !(math.Abs(v0) <= 90) || len(e) < 3 {
		return profile{}, errors.New("scan: at least three values at even steps of 0 to 10 degrees are needed")
	}
	for _, x := range e {
		if !(x > 0) || math.IsInf(x, 0) {
			return profile{}, errors.New("scan: every value must be finite and above 0")
		}
	}
	return profile{v0, step, e}, nil
}

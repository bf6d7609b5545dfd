package warmup

import (
	"math"
	"slices"
)

// SiblingRatio lends the ratio of a model tested in one size to another size of the same housing.
// The bulb gives about the same light in both, the halogens do not: the ratio moves by fluxFrom /
// fluxTo, the standard fluxes in lumens (100..10000) of the size tested and of the size wanted, and
// the band widens by the relative standard uncertainty extraRelU (0..1), in quadrature. Values
// outside these ranges, and a ratio that did not come from VsStock, give a *ValueError.
func SiblingRatio(vsStock Ratio, fluxFrom, fluxTo, extraRelU float64) (Ratio, error) {
	for _, f := range []struct {
		name             string
		value, low, high float64
	}{
		{"standard flux of the size tested in lumens", fluxFrom, 100, 10000},
		{"standard flux of the size wanted in lumens", fluxTo, 100, 10000},
		{"extra relative uncertainty", extraRelU, 0, 1},
		{"ratio", vsStock.Mid, 1e-6, 1e6},
		{"low end of the ratio", vsStock.Low, 1e-9, vsStock.Mid},
		{"high end of the ratio", vsStock.High, vsStock.Mid, 1e9},
	} {
		if err := within(f.name, f.value, f.low, f.high); err != nil {
			return Ratio{}, err
		}
	}
	r := vsStock
	move := fluxFrom / fluxTo
	r.AsRead *= move
	r.Mid *= move
	r.Low = r.Mid * math.Exp(-math.Hypot(math.Log(vsStock.Mid/vsStock.Low), normal95*extraRelU))
	above := math.Max(math.Log(vsStock.High/vsStock.Mid)-r.Up, 0)
	r.High = r.Mid * math.Exp(r.Up+math.Hypot(above, normal95*extraRelU))
	r.CrossesStock = r.Low <= 1 && r.High >= 1
	r.Parts = slices.Clone(vsStock.Parts)
	if extraRelU > 0 {
		r.Parts = append(r.Parts, Part{Name: "other size", RelU: extraRelU, Source: "lent from another size of the same housing"})
	}
	r.Notes = append(slices.Clone(vsStock.Notes), "lent from another size: moved by the standard fluxes, "+short(fluxFrom)+" lm to "+short(fluxTo)+" lm")
	return r, nil
}

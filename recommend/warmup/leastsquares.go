package warmup

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
)

// model is a curve y = value(b, x). value also fills gradient, which has one place for each
// parameter, with the partial derivatives by b.
type model struct {
	parameters int
	value      func(b []float64, x float64, gradient []float64) float64
}

// solution is a least-squares fit: parameters, their standard deviations and covariance, the
// residual sum of squares and its degrees of freedom. With no degree of freedom left sd is 0 and
// covariance nil: the points cannot tell.
type solution struct {
	b, sd      []float64
	covariance *mat.SymDense
	rss        float64
	dof        int
}

var (
	errTooFew   = errors.New("fewer points than parameters")
	errSingular = errors.New("the points do not determine the parameters")
	errNoFit    = errors.New("the least-squares fit did not settle")
)

// effort is how a fit starts and when it ends.
type effort struct {
	damping float64 // of the first step
	settled float64 // relative move of the parameters that is none
	steps   int
}

// fromNearby starts at a node of a grid and ends well below the doubt of any meter.
func fromNearby() effort { return effort{damping: 1e-3, settled: 1e-7, steps: 60} }

// solve finds the parameters that make SUM (w_i (y_i - value(b, x_i)))^2 least, from the starting
// point and with the effort given. A nil w weighs all points alike.
//
// Method: Levenberg-Marquardt (Marquardt, J. SIAM 11, 1963, 431) with the scale of the columns that
// never shrinks and the test of the real against the predicted gain (Moré, LNM 630, 1978, 105).
// Each step is a QR solution of the augmented Jacobian, so that its condition is not squared; near
// the end the damping is nothing and the steps are Gauss-Newton's. Covariance: s^2 (J'J)^-1 with
// s^2 = rss/(n-p).
func solve(m model, x, y, w, start []float64, e effort) (solution, error) {
	n, p := len(x), m.parameters
	if n < p {
		return solution{}, errTooFew
	}
	b := append([]float64(nil), start...)
	trial, scale := make([]float64, p), make([]float64, p)
	augmented := mat.NewDense(n+p, p, nil)
	right := mat.NewVecDense(n+p, nil)
	step := mat.NewVecDense(p, nil)
	rss := sumOfSquares(m, x, y, w, b)
	if math.IsNaN(rss) || math.IsInf(rss, 0) {
		return solution{}, errNoFit
	}
	damping := e.damping
	for iteration := 0; iteration < e.steps; iteration++ {
		linearise(m, x, y, w, b, augmented, right)
		for j, norm := range columnNorms(augmented, n) {
			scale[j] = math.Max(scale[j], norm)
		}
		for improved := false; !improved; {
			for j := range scale {
				augmented.Set(n+j, j, math.Sqrt(damping)*scale[j])
			}
			var qr mat.QR
			qr.Factorize(augmented)
			if err := qr.SolveVecTo(step, false, right); err != nil && !isConditionWarning(err) {
				return solution{}, errSingular
			}
			for j := range b {
				trial[j] = b[j] + step.AtVec(j)
			}
			next, predicted, move := sumOfSquares(m, x, y, w, trial), predictedGain(augmented, right, step, n), relativeMove(b, step)
			gain := (rss - next) / predicted
			switch {
			case next <= rss && (gain > 0.25 || predicted <= 1e-10*rss):
				improved = true
				settled := move < e.settled || rss-next <= 1e-15*rss && move < 1e-9
				copy(b, trial)
				rss = next
				if settled {
					return finish(m, x, w, b, rss)
				}
				if gain > 0.75 {
					damping /= 10
				}
				if damping < 1e-16 {
					damping = 0
				}
			case move < 1e-11: // no gain from a step below the rounding of the parameters
				return finish(m, x, w, b, rss)
			case damping > 1e20:
				return solution{}, errNoFit
			default:
				damping = math.Max(damping*10, 1e-12)
			}
		}
	}
	return solution{}, errNoFit
}

// finish gives the covariance at the solution, from the QR factor of the scaled Jacobian.
func finish(m model, x, w, b []float64, rss float64) (solution, error) {
	n, p := len(x), m.parameters
	s := solution{b: b, rss: rss, dof: n - p, sd: make([]float64, p)}
	if s.dof == 0 {
		return s, nil
	}
	jacobian := mat.NewDense(n, p, nil)
	linearise(m, x, make([]float64, n), w, b, jacobian, mat.NewVecDense(n, nil))
	norms := columnNorms(jacobian, n)
	for j, norm := range norms {
		if norm == 0 || math.IsInf(norm, 0) || math.IsNaN(norm) {
			return solution{}, errSingular
		}
		for i := 0; i < n; i++ {
			jacobian.Set(i, j, jacobian.At(i, j)/norm)
		}
	}
	var qr mat.QR
	qr.Factorize(jacobian)
	var r, inverse, product mat.Dense
	qr.RTo(&r)
	identity := mat.NewDense(p, p, nil)
	for j := 0; j < p; j++ {
		identity.Set(j, j, 1)
	}
	if err := inverse.Solve(r.Slice(0, p, 0, p), identity); err != nil {
		return solution{}, errSingular
	}
	product.Mul(&inverse, inverse.T())
	s.covariance = mat.NewSymDense(p, nil)
	variance := rss / float64(s.dof)
	for j := 0; j < p; j++ {
		for k := j; k < p; k++ {
			s.covariance.SetSym(j, k, variance*product.At(j, k)/(norms[j]*norms[k]))
		}
		s.sd[j] = math.Sqrt(s.covariance.At(j, j))
	}
	return s, nil
}

// linearise fills the first len(x) rows of jacobian and residual, weighted.
func linearise(m model, x, y, w, b []float64, jacobian *mat.Dense, residual *mat.VecDense) {
	gradient := make([]float64, m.parameters)
	for i := range x {
		v := m.value(b, x[i], gradient)
		residual.SetVec(i, weightAt(w, i)*(y[i]-v))
		for j, g := range gradient {
			jacobian.Set(i, j, weightAt(w, i)*g)
		}
	}
}

func columnNorms(a *mat.Dense, rows int) []float64 {
	_, p := a.Dims()
	norms := make([]float64, p)
	for j := range norms {
		for i := 0; i < rows; i++ {
			norms[j] += a.At(i, j) * a.At(i, j)
		}
		norms[j] = math.Sqrt(norms[j])
	}
	return norms
}

func sumOfSquares(m model, x, y, w, b []float64) float64 {
	gradient := make([]float64, m.parameters)
	sum := 0.0
	for i := range x {
		d := weightAt(w, i) * (y[i] - m.value(b, x[i], gradient))
		sum += d * d
	}
	return sum
}

// predictedGain is |r|^2 - |r - J step|^2 over the n rows of the data.
func predictedGain(jacobian *mat.Dense, residual, step *mat.VecDense, n int) float64 {
	gain := 0.0
	for i := 0; i < n; i++ {
		v := 0.0
		for j := 0; j < step.Len(); j++ {
			v += jacobian.At(i, j) * step.AtVec(j)
		}
		gain += v * (2*residual.AtVec(i) - v)
	}
	return gain
}

func weightAt(w []float64, i int) float64 {
	if w == nil {
		return 1
	}
	return w[i]
}

func relativeMove(b []float64, step *mat.VecDense) float64 {
	most := 0.0
	for j := range b {
		most = math.Max(most, math.Abs(step.AtVec(j))/(math.Abs(b[j])+1e-300))
	}
	return most
}

// isConditionWarning reports whether gonum solved the system and only warns of its condition.
func isConditionWarning(err error) bool {
	var condition mat.Condition
	return errors.As(err, &condition)
}

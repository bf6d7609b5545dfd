package road

import "math"

// Chromaticity is a colour as CIE 1931 x, y.
type Chromaticity struct{ X, Y float64 }

// White is a published boundary of white light for headlamps, in the x, y plane:
//
//	Blue <= x <= Yellow
//	y <= min(Green, 0.15 + 0.64 x)
//	y >= min(Red, 0.05 + 0.75 x)
//
// The red line cuts the purple one at x = 0.44; toward yellow the red line is the
// lower of the two, and the limit, as the published corners show.
type White struct {
	Name               string
	Blue, Yellow       float64 // limits of x
	Green, Red         float64 // limits of y
	Source, Confidence string
}

// WhiteUS is the white of 49 CFR 571.108 S14.4.1.4.2.3 [read].
func WhiteUS() White {
	return White{"US", 0.31, 0.50, 0.44, 0.38, "49 CFR 571.108 S14.4.1.4.2.3", "read"}
}

// WhiteUN is the white of UN R48, R148 and R149 [from memory, a public
// transcription of R148 agrees].
func WhiteUN() White {
	return White{"UN", 0.310, 0.500, 0.440, 0.382, "UN R48, R148, R149", "memory"}
}

// Daylight is the chromaticity of the CIE daylight locus at a correlated colour
// temperature of 4,000 to 25,000 K:
//
//	x = 0.244063 + 0.09911e3/T + 2.9678e6/T^2 - 4.6070e9/T^3   to 7,000 K
//	x = 0.237040 + 0.24748e3/T + 1.9018e6/T^2 - 2.0064e9/T^3   above
//	y = -3.000 x^2 + 2.870 x - 0.275
//
// Source: CIE 15, in two public implementations [read].
func Daylight(kelvin float64) (Chromaticity, error) {
	if err := within("colour temperature", "K", kelvin, 4000, 25000); err != nil {
		return Chromaticity{}, err
	}
	t := 1000 / kelvin
	x := 0.244063 + t*(0.09911+t*(2.9678-t*4.6070))
	if kelvin > 7000 {
		x = 0.237040 + t*(0.24748+t*(1.9018-t*2.0064))
	}
	return Chromaticity{x, -3.000*x*x + 2.870*x - 0.275}, nil
}

// radiation is the second radiation constant c2 in nm K.
const radiation = 1.438776877e7

// Planckian is the chromaticity of a black body at 1,000 to 25,000 K: Planck's law,
//
//	M(lambda) ~ lambda^-5 / (exp(c2 / (lambda T)) - 1),  c2 = 1.438776877e-2 m K
//
// summed with the colour-matching functions at 5 nm steps from 380 to 780 nm.
// Source: CIE 15 [from memory], functions [read], c2 CODATA [from memory].
func Planckian(kelvin float64) (Chromaticity, error) {
	if err := within("colour temperature", "K", kelvin, 1000, 25000); err != nil {
		return Chromaticity{}, err
	}
	var sum [3]float64
	for i, row := range cieObserver() {
		exitance := planck(cieFirst+cieStep*float64(i), kelvin)
		for k := range sum {
			sum[k] += exitance * row[k]
		}
	}
	total := sum[0] + sum[1] + sum[2]
	return Chromaticity{sum[0] / total, sum[1] / total}, nil
}

// planck is the spectral exitance of a black body, up to a constant, with the
// wavelength in units of 560 nm.
func planck(nm, kelvin float64) float64 {
	return math.Pow(nm/560, -5) / math.Expm1(radiation/(nm*kelvin))
}

// Locus is a curve of whites by colour temperature.
type Locus func(kelvin float64) (Chromaticity, error)

// WhiteEnd is the colour temperature in K at which a locus leaves white toward blue
// (6,677 K on the daylight locus, 6,737 K on the Planckian). A real LED lies off
// both loci; then x decides, not the colour temperature. Source: the boundary's
// and the locus' own [computed by bisection between 4,000 and 25,000 K].
func WhiteEnd(w White, locus Locus) (float64, error) {
	return crossing(locus, w.Blue, 4000, 25000)
}

// WhiteStart is the colour temperature in K below which the Planckian locus is too
// yellow to be white (x above 0.50). Source: as WhiteEnd [computed].
func WhiteStart(w White) (float64, error) {
	return crossing(Planckian, w.Yellow, 1000, 10000)
}

// crossing finds the temperature at which x, which falls along a locus, equals an
// edge.
func crossing(locus Locus, edge, low, high float64) (float64, error) {
	for high-low > 1e-6 {
		middle := (low + high) / 2
		c, err := locus(middle)
		if err != nil {
			return 0, err
		}
		if c.X > edge {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2, nil
}

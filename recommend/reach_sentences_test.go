package recommend_test

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"stillbright/data"
	"stillbright/recommend"
	"stillbright/recommend/road"
)

// roadCase is one owner, and the beam that the sentences of one bulb rest on.
type roadCase struct {
	need   recommend.Need
	ranked recommend.Ranked
	beam   string
	own    *data.PatternRecord // nil: the bulb's beam was not measured in directions
	stock  *data.PatternRecord
	// Geometry as the owner's lamp has it, or as taken for granted.
	heightM, dipDeg, spacingM float64
	lamps                     int
	kerb                      float64 // +1 on the right
	imperial                  bool
}

// sentence is a form that the program may print, and a check of its numbers
// against formulas written out here.
type sentence struct {
	form  *regexp.Regexp
	check func(c *roadCase, m []string) bool
}

const (
	number   = `(\d+(?:\.\d+)?)`
	unit     = `(m|ft)`
	reached  = `(at least \d+ (?:m|ft)|\d+ (?:m|ft)|not lit so brightly|not measured)`
	noAdvice = ` Those figures are made for laying out roads: an upper bound on stopping, and no advice on speed\.$`
)

func form(text string) *regexp.Regexp { return regexp.MustCompile(text) }

func sentences() []sentence {
	return []sentence{
		{form(`^Distances: ` + number + ` times your halogen's \(` + number + ` to ` + number + `\), the square root of the light, if the beam keeps its shape\.$`),
			func(c *roadCase, m []string) bool { return c.beam == data.BeamHigh && c.roots(m) }},
		{form(`^Distances: ` + number + ` times your halogen's \(` + number + ` to ` + number + `\) would be the square root of the light; a low beam mostly changes less, since its cutoff ends the reach\.$`),
			func(c *roadCase, m []string) bool {
				r := c.ranked.Reach
				return c.beam == data.BeamLow && c.roots(m) && r.Kerb.Mid == nil && r.Centre.Mid == nil
			}},
		{form(`^The cutoff ends the reach, whatever the light: its square root would be ` + number + ` times your halogen's \(` + number + ` to ` + number + `\)\.$`),
			func(c *roadCase, m []string) bool {
				return c.beam == data.BeamLow && c.stock != nil && c.roots(m) && *c.ranked.Reach.Kerb.Mid < math.Sqrt(*c.ranked.Hot.VsStock)
			}},
		{form(`^Distances at the (kerb|centre) side: ` + number + ` times your halogen's \(` + number + ` to ` + number + `\) at the 5 lx line, (by the measured beams|if the beam has your halogen's shape)\.$`), checkRatio},
		{form(`^It veils that driver's view \(disability glare\) as many times as the halogen does; how thick the veil is takes a beam measured direction by direction\.$`),
			func(c *roadCase, m []string) bool { return c.own == nil && c.stock == nil }},
		{form(`^At ` + number + ` ` + unit + ` its light lays a veil of ` + number + ` cd/m2 over the view of an oncoming driver of 60 \(disability glare, CIE 146\)(?:, your halogen's ` + number + `(, the one computed from the other by the stray light)?)?\.$`), checkVeil},
		{form(`^Things on a road of 1 cd/m2 keep ` + number + ` % of their contrast for that driver(?:, with your halogen ` + number + ` %)?\.$`),
			func(c *roadCase, m []string) bool {
				own, stock, _ := c.veils()
				return math.Abs(value(m[1])-100/(1+own)) <= 0.5 && (m[2] == "" || math.Abs(value(m[2])-100/(1+stock)) <= 0.5)
			}},
		{form(`^In traffic less: facing an oncoming car with equally brighter lamps, 3\.8 times the intensity bought 17 percent more seeing distance\.$`),
			func(c *roadCase, m []string) bool { return c.ranked.Reach.VsStock != nil }},
		{form(`^How distances change against your halogen is not known: the light was not set against stock\.$`),
			func(c *roadCase, m []string) bool { return c.ranked.Hot.VsStock == nil }},
		{form(`^A fog lamp lights the road near the car; no distance is given for it\.$`),
			func(c *roadCase, m []string) bool {
				return c.beam == data.BeamFog && len(c.ranked.Reach.Lines) == 0 && c.ranked.Reach.VsStock == nil
			}},
		{form(`^No distance in (metres|feet): this beam was not measured direction by direction\.$`),
			func(c *roadCase, m []string) bool { return c.own == nil && (m[1] == "feet") == c.imperial }},
		{form(`^(Stock halogen, )?(1|3\.2|5) lx line, (one lamp|two lamps): kerb side ` + reached + `, centre side ` + reached + `\.$`), checkLine},
		{form(`^The beam was measured nearer to the lamp than ` + number + ` ` + unit + `, so these are estimates from candela-equivalent figures\.$`),
			func(c *roadCase, m []string) bool { return c.down(m[1], m[2], 18.3) }},
		{form(`^The measured directions lie far apart there: an estimate, on the low side\.$`),
			func(c *roadCase, m []string) bool { return c.own != nil }},
		{form(`^The cutoff meets the road at ` + number + ` ` + unit + `; beyond it only light above the cutoff arrives\.$`),
			func(c *roadCase, m []string) bool {
				return c.beam == data.BeamLow && c.down(m[1], m[2], c.heightM/math.Tan(c.dipDeg*math.Pi/180))
			}},
		{form(`^Taken for granted: (.+)\.$`), checkAssumed},
		{form(`^Stopping from ` + number + ` (km/h|mph) takes ` + number + ` ` + unit + ` by the AASHTO design figures; no distance of light was measured to set beside it\.` + noAdvice),
			func(c *roadCase, m []string) bool { return checkStop(c, m[1], m[2], m[3], m[4]) }},
		{form(`^The 5 lx line, an upper bound on seeing, lies ` + number + ` ` + unit + ` ahead; stopping from ` + number + ` (km/h|mph) takes ` + number + ` ` + unit + ` by the AASHTO design figures\. (The light ends first\.|A dark object shows later than the line, and later still against oncoming light\.)` + noAdvice),
			func(c *roadCase, m []string) bool {
				reach := math.Inf(1)
				for _, line := range c.ranked.Reach.Lines {
					if line.Lux == 5 && line.Lamps == c.lamps {
						reach = min(*line.KerbM, *line.CentreM)
					}
				}
				ends := value(m[1]) < value(m[5])
				return c.down(m[1], m[2], reach) && checkStop(c, m[3], m[4], m[5], m[6]) && ends == (m[7] == "The light ends first.")
			}},
		{form(`^What an oncoming eye gets is not known: the light above the cutoff was not measured\.$`),
			func(c *roadCase, m []string) bool { return c.own == nil && c.ranked.Glare.VsStock == nil }},
		{form(`^What an oncoming eye gets is not known: the beam was not measured toward it\.$`),
			func(c *roadCase, m []string) bool { _, ok := c.eye(50, 0); return !ok }},
		{form(`^An oncoming eye gets ` + number + ` times the light that your halogen sends above the cutoff, (the same|` + number + ` (worse|better)) on the de Boer scale of nine steps \(formula from memory\)\.$`),
			func(c *roadCase, m []string) bool {
				q := *c.ranked.Glare.VsStock
				steps := 2 * math.Log10(q) // W falls by 2 for ten times the light
				if m[2] == "the same" {
					return two(m[1], q) && math.Abs(steps) < 0.05
				}
				return two(m[1], q) && math.Abs(value(m[3])-math.Abs(steps)) <= 0.05 && (steps > 0) == (m[4] == "worse")
			}},
		{form(`^At ` + number + ` ` + unit + ` an oncoming eye gets ` + number + ` lx as aimed(?:, ` + number + ` lx a quarter degree too high)?(?:, up to ` + number + ` lx with a collar 0\.5 mm off \(` + number + ` degree\))?; the federal limit of adaptive beams there, a yardstick only, is ` + number + ` lx\.$`), checkEye},
		{form(`^As aimed that rates (-?\d+\.\d) on the de Boer scale, (unbearable|disturbing|just acceptable|satisfactory|just noticeable) \(formula from memory\)\.$`),
			func(c *roadCase, m []string) bool {
				lux, _ := c.eye(50, 0)
				theta := 60 * 180 / math.Pi * math.Atan(math.Hypot(3.5, c.heightM-1.10)/50)
				w := 5 - 2*math.Log10(lux/(0.003*(1+math.Sqrt(1/0.04))*math.Pow(theta, 0.46)))
				return math.Abs(value(m[1])-w) <= 0.051 && road.DeBoerWord(w) == m[2]
			}},
	}
}

func value(text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return math.NaN()
	}
	return v
}

// two says whether text is the figure to two significant digits, whole from 10 up.
func two(text string, figure float64) bool {
	digits := math.Max(0, 1-math.Floor(math.Log10(figure)))
	return math.Abs(value(text)-figure) <= 0.5*math.Pow(10, -digits)+1e-9
}

// down says whether text is a distance in m rounded down in the owner's unit.
func (c *roadCase) down(text, unit string, m float64) bool {
	if (unit == "ft") != c.imperial {
		return false
	}
	if c.imperial {
		m /= 0.3048
	}
	return value(text) <= m+1e-6 && value(text) > m-1-1e-6
}

// checkStop recomputes the AASHTO figure: 0.278 V t + 0.039 V^2 / a with 2.5 s and
// 3.4 m/s2, or 1.47 V t + 1.075 V^2 / a with 11.2 ft/s2; rounded up.
func checkStop(c *roadCase, speed, speedUnit, distance, unit string) bool {
	kmh := *c.need.SpeedKmh
	stop := 0.278*kmh*2.5 + 0.039*kmh*kmh/3.4
	if c.imperial {
		mph := kmh / 1.609344
		stop = 1.47*mph*2.5 + 1.075*mph*mph/11.2
		kmh = mph
	}
	return math.Abs(value(speed)-kmh) <= 0.5 && (speedUnit == "mph") == c.imperial && (unit == "ft") == c.imperial &&
		value(distance) >= stop-1e-6 && value(distance) < stop+1
}

// light is the illuminance of the lamps at a point of the world: I / r^2, with I
// read at the direction seen from each lamp, moved by the difference of dips.
func (c *roadCase) light(record *data.PatternRecord, lamps int, sideways, ahead, heightM, raiseDeg float64) (float64, bool) {
	points := make([]road.BeamPoint, len(record.Candela))
	for i, p := range record.Candela {
		points[i] = road.BeamPoint{HDeg: p.H, VDeg: p.V, Candela: p.CD}
	}
	field, err := road.NewPointField(points)
	if err != nil {
		return 0, false
	}
	measuredDip := 180 / math.Pi * math.Atan(0.01)
	if record.CutoffV != nil {
		measuredDip = -*record.CutoffV
	}
	if c.beam == data.BeamHigh {
		measuredDip = 0
	}
	offsets := []float64{0}
	if lamps == 2 {
		offsets = []float64{-c.spacingM / 2, c.spacingM / 2}
	}
	sum := 0.0
	for _, lamp := range offsets {
		s := sideways - lamp
		flat := math.Hypot(ahead, s)
		h := math.Atan2(s, ahead) * 180 / math.Pi
		v := -math.Atan2(c.heightM-heightM, flat) * 180 / math.Pi
		cd, ok := field.At(h, v+c.dipDeg-measuredDip-raiseDeg)
		if !ok {
			return 0, false
		}
		sum += cd / (flat*flat + (c.heightM-heightM)*(c.heightM-heightM))
	}
	return sum, true
}

func (c *roadCase) eye(distanceM, raiseDeg float64) (float64, bool) {
	if c.own == nil {
		return 0, false
	}
	return c.light(c.own, c.lamps, -c.kerb*3.5, distanceM, 1.10, raiseDeg)
}

func checkLine(c *roadCase, m []string) bool {
	record, lines := c.own, c.ranked.Reach.Lines
	if m[1] != "" {
		record, lines = c.stock, c.ranked.Reach.StockLines
	}
	if record == nil || (m[3] == "one lamp") != (c.lamps == 1) {
		return false
	}
	for _, line := range lines {
		if line.Lamps == c.lamps && line.Lux == value(m[2]) {
			return c.lit(record, line, c.kerb*1.83, line.KerbM, m[4]) && c.lit(record, line, -c.kerb*1.83, line.CentreM, m[5])
		}
	}
	return false
}

// lit checks one side of a line: the road point 0.25 m up at that distance gets
// the level, and just beyond it less, or nothing was measured, or the cutoff ends it.
func (c *roadCase) lit(record *data.PatternRecord, line recommend.ReachLine, sideways float64, m *float64, text string) bool {
	if m == nil {
		return text == "not lit so brightly" || text == "not measured"
	}
	words := strings.Fields(strings.TrimPrefix(text, "at least "))
	if len(words) != 2 || !c.down(words[0], words[1], *m) {
		return false
	}
	lux, ok := c.light(record, line.Lamps, sideways, *m, 0.25, 0)
	if !ok || lux < line.Lux*(1-1e-6) {
		return false
	}
	if c.dipDeg > 0 && c.beam != data.BeamHigh && *m >= c.heightM/math.Tan(c.dipDeg*math.Pi/180)-1e-6 {
		return true // the cutoff ends it
	}
	beyond, measured := c.light(record, line.Lamps, sideways, *m*1.02, 0.25, 0)
	return !measured || beyond < line.Lux
}

// roots says whether three figures are the square root of the light with its band.
func (c *roadCase) roots(m []string) bool {
	h := c.ranked.Hot
	return two(m[1], math.Sqrt(*h.VsStock)) && two(m[2], math.Sqrt(*h.VsStockLow)) && two(m[3], math.Sqrt(*h.VsStockHigh))
}

// checkRatio finds the light at the two distances again: the halogen's at its own, and
// at that many times farther the bulb's, 5 lx each, or less just beyond.
func checkRatio(c *roadCase, m []string) bool {
	ratio, sideways := c.ranked.Reach.Kerb, c.kerb*1.83
	if m[1] == "centre" {
		ratio, sideways = c.ranked.Reach.Centre, -c.kerb*1.83
	}
	record, factor := c.own, 1.0
	if (record == nil) != strings.HasPrefix(m[5], "if") || c.stock == nil || ratio.Mid == nil {
		return false
	}
	if record == nil {
		record, factor = c.stock, *c.ranked.Hot.VsStock
	}
	for _, line := range c.ranked.Reach.StockLines {
		if line.Lamps != c.lamps || line.Lux != 5 {
			continue
		}
		from := line.KerbM
		if m[1] == "centre" {
			from = line.CentreM
		}
		at := *from * *ratio.Mid
		lux, ok := c.light(record, c.lamps, sideways, at, 0.25, 0)
		beyond, measured := c.light(record, c.lamps, sideways, at*1.02, 0.25, 0)
		capped := c.dipDeg > 0 && c.beam != data.BeamHigh && at >= c.heightM/math.Tan(c.dipDeg*math.Pi/180)-1e-6
		return ok && lux*factor >= 5*(1-1e-6) && (capped || !measured || beyond*factor < 5) &&
			two(m[2], *ratio.Mid) && two(m[3], *ratio.Low) && two(m[4], *ratio.High) && *ratio.Low <= *ratio.Mid && *ratio.Mid <= *ratio.High
	}
	return false
}

// veils are the veils at 50 m by the general equation of CIE 146 at 60 years and brown
// eyes, the bulb's and the halogen's; one from the other by stray light where only one
// beam was measured.
func (c *roadCase) veils() (own, stock float64, computed bool) {
	t := 180 / math.Pi * math.Atan(math.Hypot(3.5, c.heightM-1.10)/50)
	perLux := 10/(t*t*t) + (5/(t*t)+0.05/t)*(1+math.Pow(60/62.5, 4)) + 0.00125
	of := func(record *data.PatternRecord) float64 {
		if record == nil {
			return math.NaN()
		}
		lux, ok := c.light(record, c.lamps, -c.kerb*3.5, 50, 1.10, 0)
		if !ok {
			return math.NaN()
		}
		return lux * perLux
	}
	own, stock = of(c.own), of(c.stock)
	if ratio := c.ranked.Reach.EyeVsStock; ratio != nil && *ratio > 0 && math.IsNaN(own) != math.IsNaN(stock) {
		if math.IsNaN(own) {
			return stock * *ratio, stock, true
		}
		return own, own / *ratio, true
	}
	return own, stock, false
}

func checkVeil(c *roadCase, m []string) bool {
	own, stock, computed := c.veils()
	return c.down(m[1], m[2], 50) && two(m[3], own) && (m[4] == "") == math.IsNaN(stock) && (m[4] == "" || two(m[4], stock)) && (m[5] != "") == computed
}

func checkEye(c *roadCase, m []string) bool {
	aimed, ok := c.eye(50, 0)
	if !ok || !c.down(m[1], m[2], 50) || !two(m[3], aimed) || value(m[7]) != 1.8 { // 49 CFR 571.108 Table XXI, 30 to 60 m
		return false
	}
	if high, ok := c.eye(50, 0.25); m[4] != "" && (!ok || !two(m[4], high)) {
		return false
	}
	if m[5] == "" {
		return true
	}
	focal := 25.0
	if c.need.Lamp != nil && c.need.Lamp.Focal != nil {
		focal = *c.need.Lamp.Focal
	}
	tilt := 3 * math.Sqrt(3) / 8 * 0.5 / focal * 180 / math.Pi
	off, ok := c.eye(50, tilt)
	return ok && two(m[5], off) && two(m[6], tilt)
}

func checkAssumed(c *roadCase, m []string) bool {
	lamp := c.need.Lamp
	if lamp == nil {
		lamp = &data.Lamp{}
	}
	for _, part := range strings.Split(m[1], ", ") {
		ok := map[string]bool{
			"lamp centre 650 mm up":                      lamp.Height == nil && c.heightM == 0.65,
			"cutoff aimed 1 % down":                      lamp.Dip == nil && math.Abs(math.Tan(c.dipDeg*math.Pi/180)-0.01) < 1e-12,
			"traffic on the right":                       c.need.Where == "" && c.kerb == 1,
			"the beam measured with its cutoff 1 % down": c.own != nil && c.own.CutoffV == nil,
		}[part]
		if !ok {
			return false
		}
	}
	return true
}

// forbidden are words that promise what nobody computed.
var forbidden = regexp.MustCompile(`(?i)\b(safe|safely|safer|safety|support\w*|guarant\w*|ensure\w*|always|never|legal\w*|certain\w*|enough|will see|can see)\b`)

func checkSentences(t *testing.T, name string, c *roadCase) int {
	t.Helper()
	for _, text := range c.ranked.Reach.Says {
		matched := 0
		for _, s := range sentences() {
			if m := s.form.FindStringSubmatch(text); m != nil {
				matched++
				if !s.check(c, m) {
					t.Errorf("%s, %s: not true to the numbers: %s", name, c.ranked.Bulb, text)
				}
			}
		}
		if matched != 1 {
			t.Errorf("%s, %s: %d known forms: %s", name, c.ranked.Bulb, matched, text)
		}
		if word := forbidden.FindString(text); word != "" {
			t.Errorf("%s, %s: %q in: %s", name, c.ranked.Bulb, word, text)
		}
	}
	return len(c.ranked.Reach.Says)
}

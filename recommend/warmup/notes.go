package warmup

import (
	"math"
	"strconv"
	"strings"
)

// explain says what went into the figures and what they cannot know.
func (f *Figures) explain(readings []Reading, a analysis) {
	last := a.pieces[len(a.pieces)-1]
	if late := readings[0].Min; late > lateStart {
		f.note("the first reading is at %s min: what the light lost before is not seen", short(late))
	}
	if f.AtMin < readings[0].Min && f.LuxLow != nil {
		f.note("%s min is before the first reading: the curve is carried back", short(f.AtMin))
	}
	if len(f.DroppedReadings) > 0 {
		var words []string
		for _, i := range f.DroppedReadings {
			words = append(words, strconv.Itoa(i+1)+" ("+short(readings[i].Min)+" min, "+strconv.FormatFloat(readings[i].Lux, 'g', -1, 64)+" lux)")
		}
		f.note("left out as not belonging to the rest: reading %s", strings.Join(words, ", "))
		if end := len(readings) - 1; f.DroppedReadings[len(f.DroppedReadings)-1] == end {
			f.note("the last reading is left out: it may be a bad one or the start of a step; take another")
		}
	}
	for _, s := range a.steps {
		way := "up"
		if s.share < 0 {
			way = "down"
		}
		f.note("a step of about %s %% %s between %s and %s min", short(100*math.Abs(s.share)), way, short(s.from), short(s.to))
	}
	switch {
	case f.Shape == ShapeUnsettled:
		f.note("the light is unsettled: no curve is fitted, and the band is the range of the readings nearby")
	case last.pair != nil && len(a.steps) > 0:
		f.note("too few readings since the step for a curve")
	case len(readings) == 1:
		f.note("one reading: one number; its band is the assumed repeatability of %s %%", short(f.options.RepeatPct))
	case last.pair != nil:
		f.note("two readings: two numbers; their bands are the assumed repeatability of %s %%, and the band at any other time is that of time constants of %s to %s min",
			short(f.options.RepeatPct), short(f.options.TauLowMin), short(f.options.TauHighMin))
	case len(readings) < leastForShape:
		f.note("too few readings to name a shape: the band rests on time constants of %s to %s min", short(f.options.TauLowMin), short(f.options.TauHighMin))
	case f.Shape == ShapeFlat:
		f.note("no change beyond the scatter of the readings, %s %%", short(100*scatter(last.fit.residuals, len(last.fit.b))))
	case f.Shape == ShapeTwo:
		f.note("two time constants: %s and %s min", short(math.Exp(min(last.fit.b[2], last.fit.b[4]))), short(math.Exp(max(last.fit.b[2], last.fit.b[4]))))
	}
	if last.s.share < 1 {
		f.note("neighbouring readings go together: they count as %s independent ones", short(last.s.count()))
	}
	if f.Forecast {
		f.note("a forecast from readings up to %s min: a later step, as when the driver folds back, cannot be foreseen", short(last.s.last()))
	}
	if f.Lux == nil && f.LuxLow == nil {
		f.note("no figure can be given for %s min", short(f.AtMin))
	}
}

const lateStart = 0.2 // minutes; judgement: after 12 seconds a fast drop is under way

package cli

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/data/quantity"
	"stillbright/recommend/beam"
)

// bareText and bareList are flags that may stand without a value: they then
// print what can be said after them.
type bareText struct{ *cli.StringFlag }

type bareList struct{ *cli.StringSliceFlag }

func (bareText) mayBeBare() {}
func (bareList) mayBeBare() {}

// limitTables finds published tables by name. They must be of the beam.
func limitTables(names []string, beamKind string) ([]data.LimitTable, error) {
	var found []data.LimitTable
	for _, name := range names {
		name = strings.ReplaceAll(strings.ToLower(strings.TrimSpace(name)), "_", "-")
		var ids []string
		at := -1
		for i, t := range known.Limits() {
			ids = append(ids, t.ID)
			// Without its place and rule a US column is short and still one only.
			if t.ID == name || strings.HasSuffix(t.ID, "-"+name) && strings.HasPrefix(t.ID, "us-") {
				at = i
			}
		}
		if at < 0 {
			hint := "list them with: stillbright pattern --limits"
			if near := data.Near(name, ids); len(near) > 0 {
				hint = "did you mean " + strings.Join(near, " or ") + "?"
			}
			return nil, usage(fmt.Sprintf("--limits %q is not a table that is known", name), hint)
		}
		table := known.Limits()[at]
		if table.Beam != beamKind {
			return nil, usage(fmt.Sprintf("--limits %s is a table for %s beams, and this is a %s beam", table.ID, table.Beam, beamKind), "--beam "+table.Beam)
		}
		if !slices.ContainsFunc(found, func(t data.LimitTable) bool { return t.ID == table.ID }) {
			found = append(found, table)
		}
	}
	return found, nil
}

func (r *flagReader) gridFiles() (*gridFiles, error) {
	g := &gridFiles{bulb: r.c.String("grid"), stock: r.c.String("stock-grid"), distanceM: r.number("distance", "m", 0.2, 200, 0)}
	r.foreign("--grid", "stock-photo", "marks-photo", "marks-apart", "lux-at", "stock-lux-at", "px-per-deg", "marks", "axis", "tilt", "long-photo", "long-stock-photo", "off-photo", "blur-px", "stock-lux", "same-exposure", "tone")
	g.apertureDeg = r.aperture(g.distanceM)
	return g, r.err
}

// foreign refuses flags that belong to another way of measuring, so that nothing
// the user typed is passed over.
func (r *flagReader) foreign(way string, names ...string) {
	for _, name := range names {
		if r.c.IsSet(name) {
			r.fail(usage(fmt.Sprintf("--%s cannot be used with %s", name, way), "drop --"+name))
		}
	}
}

// aperture reads the meter's window as an angle or as a width at the distance.
func (r *flagReader) aperture(distanceM float64) *float64 {
	text := r.c.String("aperture")
	if text == "" {
		return nil
	}
	if deg, err := quantity.Parse(text, "deg"); err == nil {
		if deg <= 0 || deg >= 20 {
			r.fail(usage(fmt.Sprintf("--aperture %s: must be above 0 and under 20 degrees", text), ""))
		}
		return &deg
	}
	width := r.number("aperture", "mm", 0.01, 1000, 0)
	if r.err != nil {
		return nil
	}
	if distanceM == 0 {
		r.fail(usage("--aperture as a width needs --distance", "--aperture "+text+" --distance 10m, or --aperture 0.05deg"))
		return nil
	}
	deg, err := beam.ApertureOf(width, distanceM)
	if err != nil {
		r.fail(usage("--"+err.Error(), ""))
	}
	return &deg
}

func (r *flagReader) photoFiles() (*photoFiles, error) {
	c := r.c
	r.foreign("--photo", "stock-grid", "aperture")
	p := &photoFiles{longBulb: c.String("long-photo"), longStock: c.String("long-stock-photo")}
	if r.err != nil {
		return nil, r.err
	}
	e, err := r.evening()
	if err != nil {
		return nil, err
	}
	p.evening = *e
	switch {
	case r.err != nil:
		return nil, r.err
	case len(e.stock) == 0 && len(e.all) == 0:
		return nil, usage("--photo needs --stock-photo: the measure is the stock beam at the same exposure", "--stock-photo halogen.png")
	case (p.longBulb == "") != (p.longStock == ""):
		return nil, usage("--long-photo and --long-stock-photo belong together", "give both, or neither")
	case p.longBulb != "" && len(e.off) > 0:
		return nil, usage("--long-photo and --off-photo cannot be used together", "drop one of them")
	case p.longBulb != "" && !p.single():
		return nil, usage("--long-photo is for one picture of each beam", "give the longer exposures as --photo and --stock-photo too")
	}
	in := &p.in
	if e.plan == nil {
		switch {
		case c.IsSet("px-per-deg") == c.IsSet("marks"):
			return nil, usage("the scale of the photo is wanted, once: --px-per-deg or --marks, or --distance with the marks of --sheet on the wall", "--px-per-deg 40, or --marks 320,410,980,412,2.5m,10m")
		case !c.IsSet("axis"):
			return nil, usage("--axis is missing: the pixel straight ahead of the lamp", "--axis 800,420")
		}
		if axis := r.numbers("axis", 2, "--axis 800,420"); len(axis) == 2 {
			in.AxisX, in.AxisY = axis[0], axis[1]
		}
		if c.IsSet("marks") {
			in.PxPerDeg = r.scaleFromMarks()
		} else if scale := r.plain("px-per-deg", beam.LeastPxPerDeg, beam.MostPxPerDeg); scale != nil {
			in.PxPerDeg = *scale
		}
		in.TiltDeg = r.plain("tilt", -beam.MostTiltDeg, beam.MostTiltDeg)
	}
	in.BlurPx = r.plain("blur-px", 0, 50)
	in.SameExposure, in.Tone = c.Bool("same-exposure"), r.word("tone", "", beam.ToneSRGB, beam.ToneLinear)
	in.StockLux = r.optional("stock-lux", "lx", 0.1, 1e6, nil)
	return p, r.err
}

// single says whether there is one picture of each beam, in the typed way.
func (p *photoFiles) single() bool {
	e := &p.evening
	return e.plan == nil && len(e.bulb) == 1 && len(e.stock) == 1 && len(e.off) <= 1
}

// plain reads a flag that is a number without a unit.
func (r *flagReader) plain(name string, least, most float64) *float64 {
	text := r.c.String(name)
	if text == "" {
		return nil
	}
	value, ok := quantity.Plain(strings.TrimSpace(strings.TrimSuffix(text, "deg")))
	if !ok || value < least || value > most {
		r.fail(usage(fmt.Sprintf("--%s %q: must be a number from %g to %g", name, text, least, most), ""))
		return nil
	}
	return &value
}

// numbers reads a list of plain numbers with commas.
func (r *flagReader) numbers(name string, n int, example string) []float64 {
	parts := strings.Split(r.c.String(name), ",")
	var list []float64
	for _, part := range parts {
		value, ok := quantity.Plain(strings.TrimSpace(part))
		if !ok || len(parts) != n {
			r.fail(usage(fmt.Sprintf("--%s %q: %d numbers with commas are wanted", name, r.c.String(name), n), example))
			return nil
		}
		list = append(list, value)
	}
	return list
}

// scaleFromMarks reads two pixels, the length between them and the distance.
func (r *flagReader) scaleFromMarks() float64 {
	const example = "--marks 320,410,980,412,2.5m,10m"
	text := r.c.String("marks")
	parts := strings.Split(text, ",")
	if len(parts) != 6 {
		r.fail(usage(fmt.Sprintf("--marks %q: six values with commas are wanted: x1, y1, x2, y2, how far apart, distance", text), example))
		return 0
	}
	var v [6]float64
	for i, part := range parts {
		part = strings.TrimSpace(part)
		var err error
		if i >= 4 {
			v[i], err = quantity.ParseBare(part, "m")
		} else if value, ok := quantity.Plain(part); ok {
			v[i] = value
		} else {
			err = fmt.Errorf("%q is not a plain number", part)
		}
		if err != nil {
			r.fail(usage("--marks "+err.Error(), example))
			return 0
		}
	}
	scale, err := beam.ScaleFromMarks(v[0], v[1], v[2], v[3], v[4], v[5])
	if err != nil {
		r.fail(usage("--marks: "+err.Error(), example))
	}
	return scale
}

// readMarks reads cutoff=2,hot_spot=3,…; a mark may be left out.
func readMarks(text string) (*beam.Marks, error) {
	const example = "--grade cutoff=2,hot_spot=3,stray=2,dark=3,width=2; bare --grade prints how to give them"
	var m beam.Marks
	to := map[string]**int{"cutoff": &m.Cutoff, "hot_spot": &m.HotSpot, "stray": &m.Stray, "dark": &m.Dark, "width": &m.Width}
	for _, part := range strings.Split(text, ",") {
		name, number, ok := strings.Cut(part, "=")
		name = strings.ReplaceAll(strings.ToLower(strings.TrimSpace(name)), "-", "_")
		mark, err := strconv.Atoi(strings.TrimSpace(number))
		switch {
		case !ok || to[name] == nil:
			return nil, usage(fmt.Sprintf("--grade %q: marks named cutoff, hot_spot, stray, dark and width are wanted", part), example)
		case err != nil || mark < 0 || mark > 3:
			return nil, usage(fmt.Sprintf("--grade %s=%s: a mark is 0, 1, 2 or 3", name, strings.TrimSpace(number)), example)
		case *to[name] != nil:
			return nil, usage(fmt.Sprintf("--grade: %s is given twice", name), "drop one of them")
		}
		*to[name] = &mark
	}
	return &m, nil
}

package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"stillbright/data/quantity"
	"stillbright/recommend/beam"
)

// evening are the flags of pictures taken with the marks on the wall, or of several
// exposures of each beam.
type evening struct {
	all, bulb, stock, off []string
	marks                 string
	plan                  *beam.MarkPlan // nil: the scale and the axis are typed
	anchor                *beam.Anchor
}

// mostShots bounds what is decoded at once.
const mostShots = 24

// evening reads the flags; nil when the photos are one pair in the typed way.
func (r *flagReader) evening() (*evening, error) {
	c := r.c
	e := &evening{marks: c.String("marks-photo")}
	var err error
	for _, one := range []struct {
		flag string
		to   *[]string
	}{{"photos", &e.all}, {"photo", &e.bulb}, {"stock-photo", &e.stock}, {"off-photo", &e.off}} {
		for _, name := range c.StringSlice(one.flag) {
			var found []string
			if found, err = pictureFiles(name); err != nil {
				return nil, err
			}
			*one.to = append(*one.to, found...)
		}
	}
	if n := len(e.all) + len(e.bulb) + len(e.stock) + len(e.off); n > mostShots {
		return nil, usage(fmt.Sprintf("%d pictures: at most %d can be taken together", n, mostShots), "three exposures of each beam are enough")
	}
	if len(e.all) > 0 && len(e.bulb)+len(e.stock)+len(e.off) > 0 {
		return nil, usage("--photos holds all pictures: it cannot be used with --photo, --stock-photo or --off-photo", "drop one of them")
	}
	if c.String("lux-at") != "" || c.String("stock-lux-at") != "" {
		if e.anchor, err = anchorOf(c.String("lux-at"), c.String("stock-lux-at")); err != nil {
			return nil, err
		}
	}
	if c.IsSet("distance") || c.IsSet("marks-apart") || e.marks != "" || len(e.all) > 0 {
		if c.IsSet("px-per-deg") || c.IsSet("marks") || c.IsSet("axis") || c.IsSet("tilt") {
			return nil, usage("the marks of --sheet give scale, axis and roll: --px-per-deg, --marks, --axis and --tilt are not needed with --distance", "drop them, or drop --distance, --marks-apart and --marks-photo")
		}
		if e.plan, err = r.markPlan(); err != nil {
			return nil, err
		}
	}
	return e, r.err
}

// markPlan reads where the marks hang.
func (r *flagReader) markPlan() (*beam.MarkPlan, error) {
	plan := beam.MarkPlan{Across: 1, Down: 0.8, Distance: r.number("distance", "m", beam.LeastDistance, beam.MostDistance, 0)}
	if r.err != nil {
		return nil, r.err
	}
	if plan.Distance == 0 {
		return nil, usage("--distance is missing: from the lamp's lens to the wall", "--distance 5m")
	}
	if text := r.c.String("marks-apart"); text != "" {
		parts := strings.Split(text, ",")
		if len(parts) != 2 {
			return nil, usage(fmt.Sprintf("--marks-apart %q: give two lengths, between neighbours of a row and between the rows", text), "--marks-apart 1m,0.8m")
		}
		for i, to := range []*float64{&plan.Across, &plan.Down} {
			v, err := quantity.ParseBare(strings.TrimSpace(parts[i]), "m")
			if err != nil {
				return nil, usage("--marks-apart "+err.Error(), "--marks-apart 1m,0.8m")
			}
			*to = v
		}
	}
	if err := plan.Check(); err != nil {
		return nil, usage(err.Error(), "--distance 5m --marks-apart 1m,0.8m")
	}
	return &plan, nil
}

// anchorOf reads --lux-at and --stock-lux-at: a mark's number, or hot, and the lux.
func anchorOf(bulb, stock string) (*beam.Anchor, error) {
	const example = "--lux-at 5=41lx --stock-lux-at 5=38lx"
	if bulb == "" || stock == "" {
		return nil, usage("--lux-at and --stock-lux-at belong together: one reading of each beam at the same place", example)
	}
	var a beam.Anchor
	var at [2]int
	for i, text := range []string{bulb, stock} {
		name, lux, ok := strings.Cut(text, "=")
		value, err := quantity.ParseBare(strings.TrimSpace(lux), "lx")
		n, bad := strconv.Atoi(strings.TrimSpace(name))
		if strings.EqualFold(strings.TrimSpace(name), "hot") {
			n, bad = 0, nil
		} else if n < 1 || n > 6 {
			bad = strconv.ErrRange
		}
		if !ok || err != nil || bad != nil || !(value > 0 && value <= 1e6) {
			return nil, usage(fmt.Sprintf("%q: give the number of a mark, or hot, and the lux read there", text), example)
		}
		at[i] = n
		*[]*float64{&a.BulbLux, &a.StockLux}[i] = value
	}
	if at[0] != at[1] {
		return nil, usage("--lux-at and --stock-lux-at name two places: both beams must be read at one", example)
	}
	a.Mark = at[0]
	return &a, nil
}

// pictureFiles are the files that a name, a folder or a pattern stands for.
func pictureFiles(name string) ([]string, error) {
	info, err := os.Stat(name)
	var found []string
	switch {
	case err == nil && info.IsDir():
		err = filepath.WalkDir(name, func(path string, d os.DirEntry, err error) error {
			if err == nil && !d.IsDir() && isPicture(path) {
				found = append(found, path)
			}
			if len(found) > 10*mostShots {
				return filepath.SkipAll
			}
			return err
		})
		if err == nil && len(found) == 0 {
			err = usage(name+": there are no pictures in this folder", "JPEG, PNG, TIFF and DNG files are read")
		}
	case err == nil:
		found = []string{name}
	case strings.ContainsAny(name, "*?["):
		if found, err = filepath.Glob(name); err == nil && len(found) == 0 {
			err = usage(name+": no file has such a name", "put the pattern in quotes, and look at the folder")
		}
	}
	slices.Sort(found)
	return found, err
}

func isPicture(path string) bool {
	switch strings.ToLower(filepath.Ext(path)) {
	case ".jpg", ".jpeg", ".png", ".tif", ".tiff", ".heic", ".heif", ".dng":
		return !strings.HasPrefix(filepath.Base(path), ".")
	}
	return false
}

// read decodes the pictures and sorts them.
func (e *evening) read() (s beam.Sorted, err error) {
	take := func(names []string, to *[]beam.Shot, said *[]string) {
		for _, name := range names {
			if err != nil {
				return
			}
			var shot beam.Shot
			shot.Image, shot.Exposure, err = readPhoto(name)
			*to, *said = append(*to, shot), append(*said, name)
		}
	}
	if len(e.all) > 0 {
		var list []beam.Named
		for _, name := range e.all {
			picture, exposure, err := readPhoto(name)
			if err != nil {
				return s, err
			}
			list = append(list, beam.Named{Name: name, Shot: beam.Shot{Image: picture, Exposure: exposure}})
		}
		if s, err = beam.SortShots(list); err != nil {
			return s, badPicture(e.all[0], err)
		}
	}
	take(e.stock, &s.Stock, &s.Stocks)
	take(e.bulb, &s.Bulb, &s.Bulbs)
	take(e.off, &s.Off, &s.Offs)
	if err == nil && e.marks != "" {
		n := beam.Named{Name: e.marks}
		if n.Image, n.Exposure, err = readPhoto(e.marks); err == nil {
			s.Marks = &n
		}
	}
	return s, err
}

// gather makes what beam measures, with the marks where they are said to hang.
func (e *evening) gather(tone string) (in beam.PhotoInput, first string, err error) {
	s, err := e.read()
	if err != nil {
		return in, "", err
	}
	switch {
	case len(s.Bulbs) == 0:
		return in, "", badPicture(first, fmt.Errorf("no picture shows the bulb's beam"))
	case len(s.Stocks) == 0:
		return in, "", badPicture(s.Bulbs[0], fmt.Errorf("no picture shows the halogen's beam"))
	}
	first = s.Bulbs[0]
	if e.plan == nil {
		in, err = beam.Gather(s.Brackets, tone)
	} else {
		survey := beam.Survey{Plan: *e.plan}
		if s.Marks != nil {
			survey.Picture = s.Marks.Image
		}
		in, err = beam.Assemble(s.Brackets, survey, tone)
	}
	if err != nil {
		return in, first, badPicture(first, err)
	}
	if len(e.all) > 0 {
		in.Said = append(in.Said, fmt.Sprintf("sorted as halogen: %s; bulb: %s; lamp off: %s", baseNames(s.Stocks), baseNames(s.Bulbs), baseNames(s.Offs)))
	}
	in.Anchor = e.anchor
	return in, first, nil
}

func baseNames(names []string) string {
	if len(names) == 0 {
		return "none"
	}
	var out []string
	for _, n := range names {
		out = append(out, filepath.Base(n))
	}
	return strings.Join(out, " ")
}

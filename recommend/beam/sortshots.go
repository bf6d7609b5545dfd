package beam

import (
	"errors"
	"fmt"
	"image"
	"math"
	"path"
	"slices"
	"strings"
)

// Named is one picture of an evening.
type Named struct {
	Name string // path, for what its words say
	Shot
}

// Sorted is an evening's pictures in their places; names are in the order of the shots.
type Sorted struct {
	Brackets
	Marks               *Named
	Bulbs, Stocks, Offs []string
}

var shotWords = map[string][]string{
	"marks": {"marks", "mark"}, "off": {"off", "dark", "lampoff"},
	"bulb": {"bulb", "led", "new"}, "stock": {"stock", "halogen", "old"},
}

// kindByName is what the words of a name, or of its folder, say a picture shows.
func kindByName(name string) string {
	name = strings.ToLower(strings.ReplaceAll(name, "\\", "/"))
	for _, part := range []string{strings.TrimSuffix(path.Base(name), path.Ext(name)), path.Base(path.Dir(name))} {
		words := strings.FieldsFunc(part, func(r rune) bool { return r < 'a' || r > 'z' })
		for _, kind := range []string{"marks", "off", "bulb", "stock"} {
			for _, w := range shotWords[kind] {
				if slices.Contains(words, w) {
					return kind
				}
			}
		}
	}
	return ""
}

// offShare is the light of the brightest place over that of the beams, from which a
// picture shows a lamp: a dark garage has far less.
const offShare = 0.05

// SortShots sorts pictures into marks, stock, lamp off and bulb: by the words of their
// names or folders, else by the order in which they were taken, as help photo says:
// marks, stock, lamp off, bulb. Error: no order can be told.
func SortShots(list []Named) (Sorted, error) {
	var s Sorted
	list = slices.Clone(list)
	slices.SortStableFunc(list, func(a, b Named) int {
		return strings.Compare(taken(a)+" "+a.Name, taken(b)+" "+b.Name)
	})
	put := func(kind string, n Named) {
		switch kind {
		case "marks":
			if s.Marks == nil {
				s.Marks = &n
			}
		case "off":
			s.Off, s.Offs = append(s.Off, n.Shot), append(s.Offs, n.Name)
		case "bulb":
			s.Bulb, s.Bulbs = append(s.Bulb, n.Shot), append(s.Bulbs, n.Name)
		case "stock":
			s.Stock, s.Stocks = append(s.Stock, n.Shot), append(s.Stocks, n.Name)
		}
	}
	var open []Named
	for _, n := range list {
		if kind := kindByName(n.Name); kind != "" {
			put(kind, n)
		} else {
			open = append(open, n)
		}
	}
	if len(open) == 0 {
		return s, nil
	}
	if len(s.Bulb)+len(s.Stock) > 0 {
		return s, fmt.Errorf("%s: its name does not say what it shows, and others do: put bulb, stock, off or marks into every name", open[0].Name)
	}
	// By order. The marks come first, in a lit room.
	looks := make([]look, len(open))
	for i, n := range open {
		looks[i] = lookAt(n.Shot)
	}
	if s.Marks == nil && looks[0].flat {
		put("marks", open[0])
		open, looks = open[1:], looks[1:]
	}
	most := 0.0
	for _, l := range looks {
		most = math.Max(most, l.most)
	}
	beams, seenOff, kind := 0, false, "stock"
	for i, n := range open {
		if looks[i].most < offShare*most {
			seenOff = seenOff || beams > 0
			put("off", n)
			continue
		}
		if seenOff {
			kind = "bulb"
		}
		beams++
		put(kind, n)
	}
	if len(s.Bulb) == 0 && len(s.Stock) > 1 && !seenOff {
		return s, errors.New("the order of the pictures does not say which show the bulb: take some with the lamp off between the two, or put bulb and stock into the names")
	}
	return s, nil
}

func taken(n Named) string {
	if n.Exposure == nil {
		return ""
	}
	return n.Exposure.Taken
}

// look is a first glance at a picture: its brightest light over the exposure, and
// whether it is lit all over.
type look struct {
	most float64
	flat bool
}

func lookAt(s Shot) look {
	p := newPixels(s.Image, newTables(""))
	b := p.bin(max(1, p.w/60))
	v := make([]float64, len(b.light))
	for i, e := range b.light {
		if e < 0 {
			e = 1
		}
		v[i] = e
	}
	slices.Sort(v)
	most, low := v[len(v)*99/100], v[len(v)/20]
	return look{most / relative(s), low > 0.12*most && most > 0.05}
}

// Finding is one line of a check of the pictures.
type Finding struct {
	OK   bool   `json:"ok" doc:"nothing to do"`
	Text string `json:"text" doc:"what was found, and what to do"`
}

// CheckShots says in words what is missing or spoiled in the pictures taken so far;
// the bulb's may not be there yet.
func CheckShots(s Sorted, plan MarkPlan) []Finding {
	var out []Finding
	say := func(ok bool, format string, args ...any) {
		out = append(out, Finding{ok, fmt.Sprintf(format, args...)})
	}
	where := image.Image(nil)
	if s.Marks != nil {
		where = s.Marks.Image
	}
	if where == nil && len(s.Stock) > 0 {
		where = s.Stock[len(s.Stock)-1].Image
	}
	if where == nil {
		say(false, "No picture of the halogen's beam was found.")
		return out
	}
	g, marks, err := Locate(where, plan)
	if err != nil {
		g = nil
		say(false, "Marks: %v.", err)
	} else {
		say(true, "All six marks found, within %.1f pixels; the camera is rolled by %.1f degrees.", g.Residual, g.roll())
		if marks[0].Size < 24 {
			say(true, "The marks are small, %.0f pixels across: a nearer wall or a longer lens measures better.", marks[0].Size)
		}
	}
	for _, one := range []struct {
		name  string
		shots []Shot
	}{{"halogen", s.Stock}, {"bulb", s.Bulb}} {
		if len(one.shots) > 0 {
			checkBracket(one.name, one.shots, g, say)
		}
	}
	if len(s.Stock) == 0 {
		say(false, "No picture of the halogen's beam was found.")
	}
	if len(s.Off) == 0 {
		say(false, "No picture with the lamp off: take the same exposures once more with the lamp off.")
	} else {
		say(true, "%d with the lamp off.", len(s.Off))
	}
	return out
}

// darkAbove says whether a picture is black where the stray light of a low beam lies.
func darkAbove(b *binned, g *Geometry) bool {
	var light []float64
	for h := -8.0; h <= 8; h++ {
		for v := 1.5; v <= 4.5; v += 0.5 {
			if e, ok := b.at(g.pixelAt(wallOf(h, v))); ok {
				light = append(light, e)
			}
		}
	}
	return len(light) > 0 && median(light) < linear(10.0/255)
}

func checkBracket(name string, shots []Shot, g *Geometry, say func(ok bool, format string, args ...any)) {
	known, manual := true, true
	least, most := math.Inf(1), 0.0
	white, dark := true, true // even the shortest is white, even the longest is black above
	for _, s := range shots {
		known = known && s.Exposure.Known()
		manual = manual && s.Exposure != nil && s.Exposure.Manual
		t := relative(s)
		least, most = math.Min(least, t), math.Max(most, t)
		p := newPixels(s.Image, newTables(""))
		p.white = p.whiteCode(float64(p.w*p.h) * 0.0002)
		b := p.bin(max(1, p.w/200))
		white = white && float64(b.clipped) > 0.0005*float64(len(b.light))
		dark = dark && g != nil && darkAbove(b, g)
	}
	switch {
	case !known:
		say(false, "The %s pictures do not say how they were exposed: use the camera's own files, not copies from a messenger.", name)
	case len(shots) < 3 || most < 8*least:
		say(false, "%d exposures of the %s: take three or more of the same scene, each four times as long as the one before.", len(shots), name)
	default:
		say(true, "%d exposures of the %s, the longest %.0f times the shortest.", len(shots), name, most/least)
	}
	if known && !manual {
		say(false, "The %s pictures were taken in automatic: use manual or pro mode, with fixed white balance.", name)
	}
	if white {
		say(false, "Even the shortest exposure of the %s is white at the bright spot: add a shorter one.", name)
	}
	if dark && len(shots) > 1 {
		say(false, "Even the longest exposure of the %s is black above the beam: add a longer one.", name)
	}
	if list := observed(shots); len(list) > 0 {
		r, err := FitResponse(list)
		switch {
		case err != nil:
			say(false, "Tone curve of the %s pictures: %v.", name, err)
		case r.Misfit > mostMisfit:
			say(false, "The exposures of the %s disagree by %.0f %%: switch off HDR, night mode and scene modes.", name, 100*r.Misfit)
		default:
			say(true, "The exposures of the %s agree within %.1f %%: no local tone mapping.", name, 100*r.Misfit)
		}
	}
}

package cli

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"stillbright/data"
	"stillbright/data/quantity"
	"stillbright/recommend"
	"stillbright/recommend/answer"
	"stillbright/recommend/road"
	"stillbright/recommend/sheets"
)

func (env *Env) aimCommand() *cli.Command {
	text := func(name, usage string) cli.Flag { return &cli.StringFlag{Name: name, Usage: usage} }
	return &cli.Command{
		Name: "aim", Usage: "where the cutoff belongs on the wall, before and after the swap",
		ArgsUsage: " ",
		Flags: []cli.Flag{
			text("distance", "lamp to wall: 10m, 25ft (bare: m; not said: 10m, or 25ft in US and CA)"),
			text("height", "floor to lamp centre: 650mm, 26in (bare: mm)"),
			text("dip", "figure on the plate of the car or lamp: 1.2%, 0.57deg (bare: percent)"),
			text("marking", "marking on the lens: VOL, VOR, VO, UN"),
			text("where", "`PLACE` whose rule applies: GB, US-PA, or its name"),
			text("beam", "low, high, fog (not said: low)"),
			text("load", "usual load: empty, driver, full"),
			text("car", "a `CAR` of the catalog; its lamp fills what the other flags leave open"),
			&cli.StringSliceFlag{Name: "photo", Usage: "where the beam lies now: `FILE` of the wall with one lamp lit, the six marks of pattern --sheet around its centre; once for each lamp", Category: groupPhoto},
			&cli.StringFlag{Name: "marks-photo", Usage: "`FILE` that shows the six marks in a lit room, from the same place", Category: groupPhoto},
			&cli.StringFlag{Name: "marks-apart", Usage: "how far apart the marks hang: neighbours of a row, and the two rows (default: 1m,0.8m)", Category: groupPhoto},
			&cli.StringFlag{Name: "plot", Usage: "write a wall sheet to print at true scale: `FILE`.svg, .pdf or .png", Category: groupOutput},
			fullFlag(), jsonFlag(), catalogFlag(),
		},
		Action: env.aim,
	}
}

func (env *Env) aim(c *cli.Context) error {
	if err := noArguments(c); err != nil {
		return err
	}
	kind, err := plotKind(c.String("plot"), answer.WallSheetKinds())
	if err != nil {
		return err
	}
	b, err := env.open(c.String("catalog"))
	if err != nil {
		return err
	}
	request, unit, err := aimRequest(c, b)
	if err != nil {
		return err
	}
	sheet, err := sheets.AimFor(&b.known, request)
	if err != nil {
		if hint := sheets.RangeHint(err); hint != "" {
			return usage(err.Error(), hint)
		}
		return err
	}
	if err := seeAim(c, b, &sheet); err != nil {
		return err
	}
	options := answer.AimOptions{Unit: unit, Full: c.Bool("full")}
	if kind != "" {
		content, err := answer.WallSheet(&sheet, options, kind)
		if err != nil {
			return err
		}
		if err := writeAtomically(c.String("plot"), content, append(c.StringSlice("photo"), c.String("marks-photo"))...); err != nil {
			return err
		}
		sheet.Plot = recommend.Word(c.String("plot"))
	}
	if c.Bool("json") {
		return env.printJSON(sheet)
	}
	return env.write(answer.Aim(&sheet, options, env.width()))
}

// aimRequest reads the flags, and the unit in which the answer is given: that of
// the flags, else that of the place.
func aimRequest(c *cli.Context, b *bench) (in sheets.AimRequest, unit string, err error) {
	r := flagReader{c: c}
	in.Beam = r.word("beam", "", data.BeamLow, data.BeamHigh, data.BeamFog)
	in.Load = r.word("load", "", "empty", "driver", "full")
	in.HeightMM = r.optional("height", "mm", 200, 1600, nil)
	in.Where = r.place(b)
	in.Dip = r.dip()
	in.Marking = r.marking()
	distance := r.number("distance", "m", 2, 50, 0)
	if r.err != nil {
		return in, "", r.err
	}
	if name := c.String("car"); name != "" {
		car, err := b.car(name)
		if err != nil {
			return in, "", err
		}
		if err := in.FromCar(car); err != nil {
			return in, "", err
		}
		in.Catalog = &recommend.CatalogLine{Name: b.catalog.Name, Invented: b.catalog.Invented}
	}
	unit = wallUnit(c.String("distance"), c.String("height"), sheets.FootPlace(in.Where))
	switch {
	case distance > 0:
		in.DistanceMM = 1000 * distance
	case unit == "in":
		in.DistanceMM = 7620
	default:
		in.DistanceMM = 10000
	}
	return in, unit, nil
}

// wallUnit is the unit of the answer: the distance decides, then the height, then
// the place.
func wallUnit(distance, height string, footPlace bool) string {
	metric := "mm"
	if strings.Contains(strings.ToLower(height), "cm") {
		metric = "cm"
	}
	for _, text := range []string{strings.ToLower(distance), strings.ToLower(height)} {
		switch {
		case strings.ContainsAny(text, "'\"′″’”") || strings.Contains(text, "ft") || strings.Contains(text, "in"):
			return "in"
		case strings.Contains(text, "m"):
			return metric
		}
	}
	if footPlace {
		return "in"
	}
	return metric
}

// dip reads a slope in percent or an angle.
func (r *flagReader) dip() *road.Dip {
	text := r.c.String("dip")
	if text == "" {
		return nil
	}
	unit := road.DipPercent
	value, err := quantity.ParseBare(text, unit)
	if err != nil {
		if angle, errAngle := quantity.Parse(text, road.DipDegree); errAngle == nil {
			unit, value, err = road.DipDegree, angle, nil
		}
	}
	if err != nil {
		r.fail(named("dip", err))
		return nil
	}
	return &road.Dip{Value: value, Unit: unit}
}

func (r *flagReader) marking() string {
	text := r.c.String("marking")
	if text == "" {
		return ""
	}
	marking, err := road.ParseMarking(text)
	if err != nil {
		r.fail(usage("--marking "+err.Error(), "it stands on the lens; stillbright size MARKING reads others"))
	}
	return marking
}

// plotKind is the kind of picture that a file name asks for, empty for no file.
// An unknown ending is refused before anything is written.
func plotKind(file string, legal []string) (string, error) {
	if file == "" {
		return "", nil
	}
	kind := strings.TrimPrefix(strings.ToLower(filepath.Ext(file)), ".")
	if !slices.Contains(legal, kind) {
		return "", usage(fmt.Sprintf("--plot %q: the name must end in .%s", file, strings.Join(legal, ", .")),
			"--plot "+strings.TrimSuffix(filepath.Base(file), filepath.Ext(file))+"."+legal[0])
	}
	return kind, nil
}

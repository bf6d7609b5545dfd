package cli

import (
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/recommend"
	"stillbright/recommend/answer"
	"stillbright/recommend/beam"
	"stillbright/recommend/plaintext"
	"stillbright/recommend/sheets"
)

const (
	groupGrid  = "a measured grid"
	groupPhoto = "photos of the wall"
	groupEye   = "marks by eye"
)

func (env *Env) patternCommand() *cli.Command {
	in := func(group, name, usage string) cli.Flag {
		return &cli.StringFlag{Name: name, Usage: usage, Category: group}
	}
	many := func(name, usage string) cli.Flag {
		return &cli.StringSliceFlag{Name: name, Usage: usage, Category: groupPhoto}
	}
	return &cli.Command{
		Name: "pattern", Usage: "scores a beam from a lux grid or a wall photo, beside the stock beam",
		ArgsUsage: " ",
		Flags: []cli.Flag{
			in("", "beam", "what the lamp does: low, high, fog (not said: that of the rig, else low)"),
			in("", "traffic", "side of the road that is driven on: left, right (not said: right)"),
			in("", "cutoff", "kind of cutoff by the lens marking: un, vol, vor (not said: un)"),
			bareList{&cli.StringSliceFlag{Name: "limits", Usage: "published table to compare a grid with, by `NAME`; more than once; bare, lists the names"}},
			in(groupGrid, "grid", "`FILE` of lux or candela over angles or places on the wall: .csv, or .ies"),
			in(groupGrid, "stock-grid", "the stock halogen's `FILE` in the same lamp"),
			in(groupGrid, "distance", "lamp to meter or wall: 10m, 25ft (bare: m)"),
			in(groupGrid, "aperture", "width of the meter's window: 6mm, or 0.05deg seen from the lamp (bare: mm); without it, sharpness is a least value"),
			many("photos", "`FOLDER`, or a pattern in quotes, with all pictures of an evening: sorted into halogen, bulb and lamp off (how to take them: help photo)"),
			many("photo", "`FILE` of the bulb's beam on the wall: .jpg, .png, .tif or raw .dng; more than once for several exposures"),
			many("stock-photo", "`FILE` of the stock beam from the same place; more than once"),
			many("off-photo", "`FILE` with the lamp off, same exposures: its light is taken away; more than once"),
			in(groupPhoto, "marks-photo", "`FILE` that shows the six marks of --sheet in a lit room, from the same place"),
			in(groupPhoto, "marks-apart", "how far apart the marks hang: neighbours of a row, and the two rows (default: 1m,0.8m)"),
			in(groupPhoto, "lux-at", "lux of the bulb's beam at a mark, or at its brightest place: 5=41lx, hot=700lx"),
			in(groupPhoto, "stock-lux-at", "lux of the stock beam at the same place: 5=38lx"),
			&cli.BoolFlag{Name: "same-exposure", Usage: "you locked exposure and white balance by hand for both photos, and the files do not say it", Category: groupPhoto},
			in(groupPhoto, "tone", "the camera's tone curve, if you know it: srgb (from raw, without a look), linear"),
			in(groupPhoto, "px-per-deg", "pixels for one degree of beam on the wall"),
			in(groupPhoto, "marks", "two marks on the wall instead: `X1,Y1,X2,Y2,APART,DISTANCE` in pixels, then with units (bare: m)"),
			in(groupPhoto, "axis", "pixel straight ahead of the lamp, from the upper left: `X,Y`"),
			in(groupPhoto, "tilt", "how far the right side of the horizon stands up, degrees (not said: found on the stock cutoff)"),
			in(groupPhoto, "long-photo", "`FILE` of a longer exposure, for the dark part above the cutoff"),
			in(groupPhoto, "long-stock-photo", "the stock beam's longer exposure, `FILE`"),
			in(groupPhoto, "blur-px", "blur of the camera, standard deviation in pixels"),
			in(groupPhoto, "stock-lux", "light at the stock hot spot: 700lx (bare: lx)"),
			bareText{&cli.StringFlag{Name: "grade", Usage: "five `MARKS` from 0 to 3: cutoff=2,hot_spot=3,stray=2,dark=3,width=2; bare, prints how to give them", Category: groupEye}},
			in(groupPhoto, "sheet", "write the six marks to tape on the wall: `FILE`.pdf"),
			in(groupPhoto, "check-photos", "say what is missing or spoiled in the pictures of this `FOLDER`, before the bulb comes out"),
			in(groupOutput, "plot", "write a picture of both beams: `FILE`.png or .svg"),
			in(groupOutput, "save", "write the figures into the record of this `BULB`"),
			in(groupOutput, "rig", "the `RIG` it was measured in, with --save"),
			jsonFlag(), catalogFlag(),
		},
		Action: env.pattern,
	}
}

func (env *Env) pattern(c *cli.Context) error {
	if err := noArguments(c); err != nil {
		return err
	}
	if done, err := env.patternGuide(c); done {
		return err
	}
	kind, err := plotKind(c.String("plot"), answer.PatternPlotKinds())
	if err != nil {
		return err
	}
	b, err := env.open(c.String("catalog"))
	if err != nil {
		return err
	}
	in, err := patternRequest(c, b)
	if err != nil {
		return err
	}
	sheet, err := in.measure(&b.known)
	if err != nil {
		return err
	}
	if kind != "" {
		if err := env.plotPattern(c.String("plot"), kind, &sheet, patternInputs(c)...); err != nil {
			return err
		}
	}
	if in.bulb != "" {
		if err := env.savePattern(b, in, &sheet); err != nil {
			return err
		}
	}
	if c.Bool("json") {
		return env.printJSON(sheet)
	}
	return env.write(answer.Pattern(&sheet))
}

// patternInputs are the files that are read; the picture goes over none of them.
func patternInputs(c *cli.Context) (names []string) {
	for _, flag := range c.Command.Flags {
		if text := c.String(flag.Names()[0]); text != "" && flag.Names()[0] != "plot" {
			names = append(names, text)
		}
	}
	return names
}

// plotPattern writes the picture, and says on standard error what it shows.
func (env *Env) plotPattern(name, kind string, sheet *sheets.PatternSheet, inputs ...string) error {
	if sheet.Drawing.Bulb == nil {
		return usage("--plot needs a full grid or photos: there is nothing to draw", "drop --plot")
	}
	content, err := answer.PatternPlot(sheet, kind)
	if err != nil {
		return err
	}
	if err := writeAtomically(name, content, inputs...); err != nil {
		return err
	}
	sheet.Plot = recommend.Word(name)
	fmt.Fprintln(env.Err, plaintext.Clean(answer.PatternLine(sheet)))
	return nil
}

// patternGuide answers the flags that print what can be said after them.
func (env *Env) patternGuide(c *cli.Context) (done bool, err error) {
	switch {
	case c.IsSet("grade") && c.String("grade") == "":
		if c.Bool("json") {
			return true, usage("--grade alone is a guide to read; there is no document of it", "drop --json, or give the marks: --grade cutoff=2,hot_spot=3,stray=2,dark=3,width=2")
		}
		return true, env.write(answer.PatternGuide())
	case c.String("sheet") != "":
		return true, env.markSheet(c)
	case c.String("check-photos") != "":
		return true, env.checkPhotos(c)
	case c.IsSet("limits") && strings.Join(c.StringSlice("limits"), "") == "":
		if c.Bool("json") {
			return true, env.printJSON(sheets.ListLimits(known.Limits()))
		}
		return true, env.write(answer.LimitTables(known.Limits()))
	}
	return false, nil
}

// patternInput is one command line of pattern, read.
type patternInput struct {
	options   beam.Options
	limits    []data.LimitTable
	grid      *gridFiles
	photo     *photoFiles
	marks     *beam.Marks
	bulb, rig string
	measured  *beam.Measured // what --grid held
}

func patternRequest(c *cli.Context, b *bench) (in patternInput, err error) {
	r := flagReader{c: c}
	in.options = beam.Options{
		Beam:    r.word("beam", "", data.BeamLow, data.BeamHigh, data.BeamFog),
		Traffic: r.word("traffic", "right", "left", "right"),
		Cutoff:  r.word("cutoff", beam.CutoffUN, beam.CutoffUN, beam.CutoffVOL, beam.CutoffVOR),
		Weights: b.known.Pattern,
	}
	if r.err != nil {
		return in, r.err
	}
	if err := in.target(c, b); err != nil {
		return in, err
	}
	if in.options.Beam == "" {
		in.options.Beam = data.BeamLow
	}
	var ways []string
	for _, name := range []string{"grid", "photo", "grade"} {
		if c.String(name) != "" && name != "photo" || name == "photo" && len(c.StringSlice("photo"))+len(c.StringSlice("photos")) > 0 {
			ways = append(ways, "--"+name)
		}
	}
	switch len(ways) {
	case 0:
		return in, usage("nothing to judge: --grid, --photo or --grade is wanted", "stillbright pattern --grid led.csv --stock-grid halogen.csv --distance 10m")
	case 1:
	default:
		return in, usage(strings.Join(ways, " and ")+" cannot be used together", "drop all but one; each makes a pattern of its own")
	}
	if in.limits, err = limitTables(c.StringSlice("limits"), in.options.Beam); err != nil {
		return in, err
	}
	switch ways[0] {
	case "--grid":
		in.grid, err = r.gridFiles()
	case "--photo":
		in.photo, err = r.photoFiles()
	default:
		in.marks, err = readMarks(c.String("grade"))
	}
	if err == nil && in.grid == nil && len(in.limits) > 0 {
		err = usage("--limits needs a grid: published limits are in candela, which photos and marks do not have", "drop --limits")
	}
	return in, err
}

// target reads where the figures are saved, and the beam of that rig.
func (in *patternInput) target(c *cli.Context, b *bench) error {
	in.bulb, in.rig = c.String("save"), c.String("rig")
	switch {
	case in.bulb == "" && in.rig == "":
		return nil
	case in.bulb == "":
		return usage("--rig needs --save", "--save BULB --rig "+in.rig)
	case in.rig == "":
		return usage("--save needs --rig: the lamp it was measured in", "--save "+in.bulb+" --rig RIG")
	case b.folder == "":
		return usage("the demo catalog cannot be written to", "make your own with: stillbright catalog start")
	}
	bulb, err := b.bulb(in.bulb)
	if err != nil {
		return err
	}
	rig, ok := b.catalog.Rig(in.rig)
	if !ok {
		var names []string
		for _, r := range b.catalog.Rigs {
			names = append(names, r.ID)
		}
		hint := "legal: " + strings.Join(names, " ")
		if near := data.Near(in.rig, names); len(near) > 0 {
			hint = "did you mean " + strings.Join(near, " or ") + "?"
		}
		return usage(fmt.Sprintf("rig %q is not in the catalog %q", in.rig, b.catalog.Name), hint)
	}
	in.bulb, in.rig = bulb.ID, rig.ID
	switch {
	case rig.Beam == data.BeamBoth && in.options.Beam == "":
		return usage(fmt.Sprintf("rig %q does low and high: --beam is wanted", rig.ID), "--beam low or --beam high")
	case rig.Beam != data.BeamBoth && in.options.Beam != "" && in.options.Beam != rig.Beam:
		return usage(fmt.Sprintf("--beam %s: rig %q is a %s beam", in.options.Beam, rig.ID, rig.Beam), "drop --beam")
	case in.options.Beam == "":
		in.options.Beam = rig.Beam
	}
	return nil
}

// measure makes the document.
func (in *patternInput) measure(k *recommend.Knowledge) (sheets.PatternSheet, error) {
	var (
		p   beam.Pattern
		d   beam.Drawing
		err error
	)
	switch {
	case in.grid != nil:
		p, d, in.measured, err = in.grid.measure(in.options, in.limits)
	case in.photo != nil:
		p, d, err = in.photo.measure(in.options)
	default:
		p, err = beam.FromMarks(*in.marks, in.options)
	}
	if err != nil {
		return sheets.PatternSheet{}, err
	}
	return sheets.PatternOf(k, p, d, in.marks), nil
}

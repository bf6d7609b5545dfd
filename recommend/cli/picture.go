package cli

import (
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"stillbright/recommend/answer"
	"stillbright/recommend/plaintext"
)

// Pictures that --picture names.
const (
	pictureTriangle = "triangle"
	pictureWarmUp   = "warmup"
	pictureHeat     = "heat"
)

// pictureFlags are --plot and, where there is a choice, --picture; the first kind
// is the one drawn unless told.
func pictureFlags(kinds ...string) []cli.Flag {
	flags := []cli.Flag{&cli.StringFlag{Name: "plot", Usage: "draw a picture to `FILE`.png or .svg", Category: groupOutput}}
	if len(kinds) > 1 {
		flags = append(flags, &cli.StringFlag{Name: "picture", Category: groupOutput,
			Usage: "which picture: " + strings.Join(kinds, ", ") + " (not said: " + kinds[0] + ")"})
	}
	return flags
}

// wantedPicture is a picture asked for on the command line; file is empty for none.
type wantedPicture struct{ file, kind, picture string }

// wantedPictureOf reads the flags, before anything is computed or written.
func wantedPictureOf(c *cli.Context, kinds ...string) (wantedPicture, error) {
	w := wantedPicture{file: c.String("plot"), picture: kinds[0]}
	if named := c.String("picture"); named != "" {
		if w.file == "" {
			return w, usage("--picture needs --plot", "--plot "+named+".png --picture "+named)
		}
		if w.picture = strings.ToLower(named); !slices.Contains(kinds, w.picture) {
			return w, usage(fmt.Sprintf("--picture %q: must be %s", named, strings.Join(kinds, ", ")), "")
		}
	}
	var err error
	w.kind, err = plotKind(w.file, answer.PictureKinds())
	return w, err
}

// writePicture writes a picture and says in one line what it shows.
func (env *Env) writePicture(w wantedPicture, picture answer.Plot) error {
	content, err := picture.File(w.kind)
	if err != nil {
		return err
	}
	if err := writeAtomically(w.file, content); err != nil {
		return err
	}
	fmt.Fprintln(env.Err, plaintext.Clean(fmt.Sprintf("%s: %s", w.file, picture.Line())))
	return nil
}

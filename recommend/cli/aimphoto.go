package cli

import (
	"image"

	"github.com/urfave/cli/v2"

	"stillbright/recommend/beam"
	"stillbright/recommend/sheets"
)

// seeAim reads the pictures of the wall into the sheet.
func seeAim(c *cli.Context, b *bench, sheet *sheets.AimSheet) error {
	names := c.StringSlice("photo")
	if len(names) == 0 {
		for _, flag := range []string{"marks-photo", "marks-apart"} {
			if c.IsSet(flag) {
				return usage("--"+flag+" needs --photo: the wall with the lamp lit", "--photo wall.jpg")
			}
		}
		return nil
	}
	r := flagReader{c: c}
	plan, err := r.markPlan()
	if err != nil {
		return err
	}
	var marks image.Image
	if name := c.String("marks-photo"); name != "" {
		if marks, _, err = readPhoto(name); err != nil {
			return err
		}
	}
	for _, name := range names {
		picture, _, err := readPhoto(name)
		if err != nil {
			return err
		}
		present, err := beam.PresentAim(picture, marks, *plan, sheet.BeamOptions(&b.known))
		if err != nil {
			return badPicture(name, err)
		}
		sheet.See(name, present)
	}
	return nil
}

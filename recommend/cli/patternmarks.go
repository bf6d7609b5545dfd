package cli

import (
	"fmt"

	"github.com/urfave/cli/v2"

	"stillbright/data/known"
	"stillbright/recommend/answer"
	"stillbright/recommend/beam"
)

// markSheet writes the marks to print.
func (env *Env) markSheet(c *cli.Context) error {
	name := c.String("sheet")
	if _, err := plotKind(name, []string{"pdf"}); err != nil {
		return err
	}
	if c.Bool("json") {
		return usage("--sheet writes a sheet to print; there is no document of it", "drop --json")
	}
	procedure, _ := known.HelpTopic("photo")
	if err := writeAtomically(name, answer.MarkSheet(procedure)); err != nil {
		return err
	}
	return env.write(answer.MarkSheetGuide(name))
}

// checkPhotos says what is missing or spoiled in the pictures taken so far.
func (env *Env) checkPhotos(c *cli.Context) error {
	if c.Bool("json") {
		return usage("--check-photos is to be read; there is no document of it", "drop --json")
	}
	r := flagReader{c: c}
	plan, err := r.markPlan()
	if err != nil {
		return err
	}
	e := &evening{}
	if e.all, err = pictureFiles(c.String("check-photos")); err != nil {
		return err
	}
	if len(e.all) > mostShots {
		return usage(fmt.Sprintf("%d pictures: at most %d can be taken together", len(e.all), mostShots), "keep one evening in a folder of its own")
	}
	s, err := e.read()
	if err != nil {
		return err
	}
	findings := beam.CheckShots(s, *plan)
	bad := 0
	for _, f := range findings {
		if !f.OK {
			bad++
		}
	}
	if err := env.write(answer.PhotoCheck(findings)); err != nil {
		return err
	}
	if bad > 0 {
		return badPicture(c.String("check-photos"), fmt.Errorf("%d to put right, see above", bad))
	}
	return nil
}

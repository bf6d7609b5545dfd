package cli

import (
	"fmt"

	"stillbright/data"
	"stillbright/recommend/plaintext"
	"stillbright/recommend/sheets"
)

// savePattern writes the figures into the newest test of the bulb in the rig.
func (env *Env) savePattern(b *bench, in patternInput, sheet *sheets.PatternSheet) error {
	writer, err := env.writer(b.folder)
	if err != nil {
		return err
	}
	var points []data.BeamPoint
	if in.measured != nil {
		points = sheets.BeamPointsOf(in.measured, sheet)
	}
	saved, err := writer.SetPattern(in.bulb, in.rig, in.options.Beam, sheets.PatternRecordOf(sheet, in.marks, points))
	if err != nil {
		return err
	}
	sheet.Saved = &sheets.PatternSave{File: saved.File, Bulb: in.bulb, Rig: in.rig}
	if saved.Copy != "" {
		fmt.Fprintln(env.Err, plaintext.Clean(fmt.Sprintf("%s: its former text is kept in %s", saved.File, saved.Copy)))
	}
	return nil
}

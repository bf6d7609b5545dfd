package recommend

import (
	"stillbright/data"
	"stillbright/recommend/road"
)

// ClaimLine is one claim of the pack.
type ClaimLine struct {
	Claim   string   `json:"claim" doc:"what it is about"`
	Verdict string   `json:"verdict" doc:"what it is worth"`
	LmPerW  *float64 `json:"lm_per_w" doc:"lumens at watts, where it is about that"`
	Text    string   `json:"text" doc:"in words"`
	Assumed Word     `json:"assumed" doc:"what was taken for granted"`
	Source  Word     `json:"source" doc:"where the limit is from"`
}

func ClaimLines(k *Knowledge, bulb data.Bulb) []ClaimLine {
	lines := []ClaimLine{}
	watts := bulb.Supply.Watts
	for _, lot := range LotsNewestFirst(&bulb) {
		for _, test := range lot.Tests {
			watts = firstKnown(watts, test.Watts)
		}
	}
	for _, f := range road.Audit(road.ClaimInput{
		Lumens: bulb.Claims.Lumens, Watts: bulb.Claims.Watts, CCT: bulb.Claims.CCT, Per: bulb.Claims.Per,
		MeasuredWatts: watts, Ladder: k.Claims,
	}) {
		lines = append(lines, ClaimLine{f.Claim, f.Verdict, f.LmPerW, f.Text, Word(f.Assumed), Word(f.Source)})
	}
	return lines
}

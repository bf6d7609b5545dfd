package sheets

import (
	"stillbright/data"
	"stillbright/fitment"
	"stillbright/recommend"
)

// FitSheet is the document of `fit`: one bulb in one lamp, check by check.
type FitSheet struct {
	Schema    string                `json:"schema" enum:"stillbright/fit/1" doc:"document and version"`
	Bulb      string                `json:"bulb" doc:"id of the bulb"`
	Name      string                `json:"name" doc:"name as sold"`
	Car       recommend.Word        `json:"car" doc:"id of the car; null when only flags describe it"`
	Size      string                `json:"size" doc:"bulb size of the lamp"`
	Beam      string                `json:"beam" enum:"low|high|fog|both" doc:"what the lamp does"`
	Overall   string                `json:"overall" enum:"fits|needs_work|does_not_fit|unknown" doc:"worst verdict; unknowns beside it"`
	Unknowns  []string              `json:"unknowns" doc:"checks that could not be made"`
	Checks    []fitment.Finding     `json:"checks" doc:"every check"`
	ToMeasure []fitment.ToMeasure   `json:"to_measure" doc:"what the owner has to find out"`
	After     []string              `json:"after" doc:"what to look at after fitting, while it can still be sent back"`
	Reach     recommend.Reach       `json:"reach" doc:"what its light means on the road"`
	Safety    []string              `json:"safety" doc:"cautions that apply, heaviest first"`
	Halogen   recommend.Word        `json:"halogen" doc:"id of the best halogen for this lamp in the catalog"`
	Law       recommend.LawLine     `json:"law" doc:"what is known of the rules"`
	Catalog   recommend.CatalogLine `json:"catalog" doc:"where the records come from"`
}

// FitOf checks one bulb in the owner's lamp. The checks are those that pick
// makes: the same need gives the same verdicts.
func FitOf(k *recommend.Knowledge, c *data.Catalog, bulb data.Bulb, car string, need recommend.Need, opt recommend.Options) (FitSheet, error) {
	seen, err := recommend.Examine(k, c, &bulb, need, opt)
	if err != nil {
		return FitSheet{}, err
	}
	n, report := seen.Need, seen.Report
	sheet := FitSheet{
		Schema: "stillbright/fit/1", Bulb: bulb.ID, Name: bulb.Name, Car: recommend.Word(car), Size: n.Size, Beam: n.Beam,
		Overall: string(report.Overall), Unknowns: report.Unknowns, Checks: report.Checks, ToMeasure: report.ToMeasure, After: report.After, Reach: seen.Reach,
		Safety: seen.Safety, Law: seen.Law, Catalog: recommend.CatalogLine{Name: c.Name, Invented: c.Invented},
	}
	if report.Overall == fitment.DoesNotFit {
		if need.Size == "" {
			need.Size = bulb.Size
		}
		if pick, err := recommend.Decide(k, c, need, opt); err == nil {
			sheet.Halogen = pick.Answer.Halogen
		}
	}
	return sheet, nil
}

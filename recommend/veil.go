package recommend

import (
	"stillbright/data"
	"stillbright/recommend/road"
)

// Veil is disability glare at one distance: what the light of the lamps, scattered in
// the eye of an oncoming driver of sixty, lays over what that driver looks at.
type Veil struct {
	DistanceM        float64  `json:"distance_m" doc:"distance of the eye"`
	From             string   `json:"from" enum:"measured|stray_vs_stock" doc:"measured: both from their own beams, as far as they were; stray_vs_stock: one from the other by the ratio of stray light"`
	CdM2             *float64 `json:"veil_cd_m2" doc:"veiling luminance of this bulb (CIE 146, general equation); null when not known"`
	StockCdM2        *float64 `json:"stock_veil_cd_m2" doc:"the same of the stock halogen in the same lamp"`
	ContrastPct      *float64 `json:"contrast_pct" doc:"percent of its contrast that a thing on a road of 1 cd/m2 keeps for that driver"`
	StockContrastPct *float64 `json:"stock_contrast_pct" doc:"the same with the stock halogen"`
}

// veils sets the veil of a bulb beside that of the halogen at each distance where one of
// the beams was measured toward the eye. Where only one was, the other follows from the
// stray light against stock, if that is on record: both lamps are the same then.
func (g geometry) veils(own, stock *beamOnRoad, strayVsStock *float64) []Veil {
	list := []Veil{}
	mine, theirs := g.veilOf(own), g.veilOf(stock)
	for i := range max(len(mine), len(theirs)) {
		v := Veil{From: "measured"}
		if i < len(mine) && mine[i].Measured {
			v.DistanceM, v.CdM2 = mine[i].DistanceM, &mine[i].VeilCdM2
		}
		if i < len(theirs) && theirs[i].Measured {
			v.DistanceM, v.StockCdM2 = theirs[i].DistanceM, &theirs[i].VeilCdM2
		}
		if ratio := strayVsStock; ratio != nil && *ratio > 0 && (v.CdM2 == nil) != (v.StockCdM2 == nil) {
			v.From = "stray_vs_stock"
			if v.CdM2 == nil {
				veil := *v.StockCdM2 * *ratio
				v.CdM2 = &veil
			} else {
				veil := *v.CdM2 / *ratio
				v.StockCdM2 = &veil
			}
		}
		if v.CdM2 == nil && v.StockCdM2 == nil {
			continue
		}
		v.ContrastPct, v.StockContrastPct = contrastLeft(v.CdM2), contrastLeft(v.StockCdM2)
		list = append(list, v)
	}
	return list
}

func (g geometry) veilOf(b *beamOnRoad) []road.GlareAt {
	if b == nil {
		return nil
	}
	list, err := road.Glare(road.GlareInput{
		Field: b.field, LampHeightM: g.heightM, DipDeg: g.dipDeg, FieldDipDeg: b.dip,
		Traffic: g.traffic, Lamps: g.lamps, SpacingM: g.spacingM,
	})
	if err != nil {
		return nil
	}
	return list
}

func contrastLeft(veil *float64) *float64 {
	if veil == nil {
		return nil
	}
	share, err := road.ContrastLeft(road.NightAdaptation, *veil)
	if err != nil {
		return nil
	}
	share *= 100
	return &share
}

// VeilAt is the veil at the distance where glare is put into words; nil when not known.
func (r Reach) VeilAt() *Veil {
	for i := range r.Veil {
		if r.Veil[i].DistanceM == exampleEyeM {
			return &r.Veil[i]
		}
	}
	return nil
}

// sayVeil puts the veil into words, the halogen's beside it.
func (r *Reach) sayVeil(u roadUnits, facts ReachFacts) {
	v := r.VeilAt()
	if v == nil || v.CdM2 == nil {
		if facts.Kind == data.KindLED && r.EyeVsStock != nil && *r.EyeVsStock > 0 && len(r.Eye) == 0 {
			r.add("It veils that driver's view (disability glare) as many times as the halogen does; how thick the veil is takes a beam measured direction by direction.")
		}
		return
	}
	text := "At " + u.distance(exampleEyeM) + " its light lays a veil of " + twoDigits(*v.CdM2) + " cd/m2 over the view of an oncoming driver of 60 (disability glare, CIE 146)"
	if v.StockCdM2 != nil {
		text += ", your halogen's " + twoDigits(*v.StockCdM2)
	}
	if v.From == "stray_vs_stock" {
		text += ", the one computed from the other by the stray light"
	}
	r.add("%s.", text)
	if v.ContrastPct != nil && v.StockContrastPct != nil {
		r.add("Things on a road of 1 cd/m2 keep %.0f %% of their contrast for that driver, with your halogen %.0f %%.", *v.ContrastPct, *v.StockContrastPct)
	} else if v.ContrastPct != nil {
		r.add("Things on a road of 1 cd/m2 keep %.0f %% of their contrast for that driver.", *v.ContrastPct)
	}
}

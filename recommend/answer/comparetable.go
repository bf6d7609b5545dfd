package answer

import (
	"fmt"
	"slices"
	"strings"

	"stillbright/recommend"
	"stillbright/recommend/road"
)

// sideBySide is a comparison as rows of words, for a screen or a document. The
// last column is the fitted halogen.
type sideBySide struct {
	rows [][]string // label, one cell for each bulb, the halogen
}

// letter names a column.
func letter(i int) string { return string(rune('A' + i)) }

// compareLetters are the columns by bulb; H is the halogen.
func compareLetters(s *recommend.CompareSheet) map[string]string {
	letters := map[string]string{recommend.StockID: "H"}
	for i, b := range s.Bulbs {
		letters[b.Bulb] = letter(i)
	}
	return letters
}

func compareRows(s *recommend.CompareSheet) sideBySide {
	var t sideBySide
	stock := s.Stock
	t.add(s, "place in pick", placeWord, "")
	t.judged(s, recommend.AspectOverall, "score, 0 to 100", func(b recommend.Compared) *float64 { return &b.Score }, whole, whole(stock.Score))
	t.add(s, "  first in draws", func(b recommend.Compared) string { return orDash(b.Firm.Noise, share) }, orDash(stock.Firm.Noise, share))
	t.judged(s, recommend.AspectLight, "hot vs stock", func(b recommend.Compared) *float64 { return b.Hot.VsStock }, two, "1")
	t.add(s, "  95 % band", func(b recommend.Compared) string { return bandText(b.Hot.VsStockLow, b.Hot.VsStockHigh, two) }, "")
	t.number(s, "  lux", func(b recommend.Compared) *float64 { return b.Hot.Lux }, whole, "")
	t.number(s, "  kept", func(b recommend.Compared) *float64 { return b.Hot.RetainedPct }, percent, "")
	t.judged(s, recommend.AspectPattern, "pattern, 0–100", func(b recommend.Compared) *float64 { return b.Pattern.Score }, whole, orDash(stock.Pattern.Score, whole))
	t.add(s, "  95 % band", func(b recommend.Compared) string { return bandText(b.Pattern.Low, b.Pattern.High, whole) }, bandText(stock.Pattern.Low, stock.Pattern.High, whole))
	for _, part := range []struct {
		label string
		of    func(recommend.PatternParts) *float64
	}{
		{"  cutoff", func(p recommend.PatternParts) *float64 { return p.Sharpness }},
		{"  hot spot", func(p recommend.PatternParts) *float64 { return p.HotSpot }},
		{"  stray light", func(p recommend.PatternParts) *float64 { return p.Stray }},
		{"  dark spots", func(p recommend.PatternParts) *float64 { return p.Dark }},
		{"  width", func(p recommend.PatternParts) *float64 { return p.Width }},
	} {
		t.number(s, part.label, func(b recommend.Compared) *float64 { return part.of(b.PatternOf) }, two, "")
	}
	t.add(s, "glare", glareWord, "passes")
	t.number(s, "  stray vs stock", func(b recommend.Compared) *float64 { return b.Glare.VsStock }, two, "1")
	t.number(s, "  veil, cd/m2", func(b recommend.Compared) *float64 { return veilOf(b).CdM2 }, two, "")
	t.number(s, "  halogen's veil", func(b recommend.Compared) *float64 { return veilOf(b).StockCdM2 }, two, "")
	t.judged(s, recommend.AspectHeat, "heat, 0 to 1", heatOf, two, "1")
	t.number(s, "  body, bench C", func(b recommend.Compared) *float64 { return b.BodyC }, whole, "")
	t.number(s, "  body, lamp C", func(b recommend.Compared) *float64 { return b.BodyInLampC }, whole, "")
	t.number(s, "  power W", func(b recommend.Compared) *float64 { return b.WattsHot }, three, "")
	t.add(s, "fit", func(b recommend.Compared) string { return fitWord(b.Fit) }, "fitted")
	t.add(s, priceLabel(s), func(b recommend.Compared) string { return comparePrice(s, b.Price) }, "0")
	t.add(s, "pack, lm per W", claimFigure, "")
	t.add(s, "  believable", claimWord, "")
	t.add(s, "tested in", func(b recommend.Compared) string { return lampWord(b.Evidence) }, "")
	return t
}

// add adds a row; one in which nothing is known of any bulb is left out.
func (t *sideBySide) add(s *recommend.CompareSheet, label string, cell func(recommend.Compared) string, stock string) {
	row, known := []string{label}, false
	for _, b := range s.Bulbs {
		text := cell(b)
		known = known || text != "–"
		row = append(row, text)
	}
	if known {
		t.rows = append(t.rows, append(row, stock))
	}
}

func (t *sideBySide) number(s *recommend.CompareSheet, label string, of func(recommend.Compared) *float64, print func(float64) string, stock string) {
	t.add(s, label, func(b recommend.Compared) string { return orDash(of(b), print) }, stock)
}

// judged is a row in which bulbs can be told apart or not: what cannot be told
// from the best of the row carries a ~.
func (t *sideBySide) judged(s *recommend.CompareSheet, aspect, label string, of func(recommend.Compared) *float64, print func(float64) string, stock string) {
	best := -1
	takesPart := func(b recommend.Compared) bool {
		return of(b) != nil && (aspect != recommend.AspectOverall || b.Standing == recommend.StandingRanked)
	}
	for i, b := range s.Bulbs {
		if takesPart(b) && (best < 0 || *of(b) > *of(s.Bulbs[best])) {
			best = i
		}
	}
	i := -1
	t.add(s, label, func(b recommend.Compared) string {
		i++
		cell := orDash(of(b), print)
		if i != best && best >= 0 && withinNoise(s, b.Bulb, s.Bulbs[best].Bulb, aspect) {
			cell += "~"
		}
		return cell
	}, stock)
}

// withinNoise says whether two bulbs cannot be told apart in one aspect.
func withinNoise(s *recommend.CompareSheet, a, b, aspect string) bool {
	pair, _ := pairOf(s, a, b)
	return slices.Contains(pair.Same, aspect)
}

// pairOf finds a pair; turned says that it is kept the other way round.
func pairOf(s *recommend.CompareSheet, a, b string) (pair recommend.Pair, turned bool) {
	for _, p := range s.Pairs {
		if p.A == a && p.B == b {
			return p, false
		}
		if p.A == b && p.B == a {
			return p, true
		}
	}
	return recommend.Pair{}, false
}

// chance is the probability that a is better than b, nil where it cannot be said.
func chance(s *recommend.CompareSheet, a, b, aspect string) *float64 {
	pair, turned := pairOf(s, a, b)
	p := pair.Chance(aspect)
	if p != nil && turned {
		other := 1 - *p
		return &other
	}
	return p
}

// heatOf is the heat value of a bulb that was tested.
func heatOf(b recommend.Compared) *float64 {
	if b.Evidence == recommend.EvidenceNone {
		return nil
	}
	return &b.Parts.Heat
}

func two(value float64) string   { return significant(value, 2) }
func three(value float64) string { return significant(value, 3) }

func bandText(low, high *float64, print func(float64) string) string {
	if low == nil || high == nil {
		return "–"
	}
	return print(*low) + "–" + print(*high)
}

func placeWord(b recommend.Compared) string {
	switch b.Standing {
	case recommend.StandingRanked:
		return fmt.Sprint(*b.Place)
	case recommend.StandingMeasure:
		return "measure"
	}
	return "aside"
}

func glareWord(b recommend.Compared) string {
	switch b.Glare.Verdict {
	case "within":
		return "passes"
	case "over":
		return "dazzles"
	case "not_measured":
		return "unknown"
	}
	return "–"
}

func lampWord(evidence string) string {
	switch evidence {
	case recommend.EvidenceLike:
		return "like"
	case recommend.EvidenceSibling:
		return "sibling"
	case recommend.EvidenceOther:
		return "other"
	}
	return "none"
}

// oneCurrency is the currency of all the prices, empty when they differ.
func oneCurrency(s *recommend.CompareSheet) string {
	currency := ""
	for _, b := range s.Bulbs {
		switch {
		case b.Price == nil:
		case currency == "":
			currency = b.Price.Currency
		case currency != b.Price.Currency:
			return ""
		}
	}
	return currency
}

func priceLabel(s *recommend.CompareSheet) string {
	per := "a pair"
	for _, b := range s.Bulbs {
		if b.Price != nil && b.Price.Per == "each" {
			per = "each"
		}
	}
	return strings.TrimSpace("price " + oneCurrency(s) + " " + per)
}

func comparePrice(s *recommend.CompareSheet, price *recommend.Price) string {
	if price != nil && oneCurrency(s) != "" {
		return strings.TrimSuffix(fixed(price.Amount, 2), ".00")
	}
	return priceCell(price)
}

// lumenClaim is the claim of lumens at watts, at measured watts where they are
// known.
func lumenClaim(b recommend.Compared) (claim recommend.ClaimLine, ok bool) {
	for _, kind := range []string{road.ClaimMeasured, road.ClaimAdvertised} {
		for _, line := range b.Claims {
			if line.Claim == kind && line.LmPerW != nil {
				return line, true
			}
		}
	}
	return recommend.ClaimLine{}, false
}

// veilOf is the disability glare of a bulb at the distance where glare is worded, and
// its halogen's in the same lamp.
func veilOf(b recommend.Compared) recommend.Veil {
	if v := b.Reach.VeilAt(); v != nil {
		return *v
	}
	return recommend.Veil{}
}

func claimFigure(b recommend.Compared) string {
	claim, ok := lumenClaim(b)
	if !ok {
		return "–"
	}
	return whole(*claim.LmPerW)
}

// claimWord says in a word whether the claim can be believed; --full has it in
// sentences.
func claimWord(b recommend.Compared) string {
	claim, ok := lumenClaim(b)
	if !ok {
		return "–"
	}
	switch claim.Verdict {
	case "impossible", "beyond_known":
		return "no"
	case "needs_proof":
		return "unproven"
	case "above_ordinary":
		return "perhaps"
	}
	return "yes"
}

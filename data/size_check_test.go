package data_test

import (
	"math"
	"slices"
	"testing"

	"stillbright/data"
)

// Values with a read source: light-sources.md section 1d, source named beside each.
func TestReadSizeFigures(t *testing.T) {
	sizes := knownSizes(t)
	for _, want := range []struct {
		category, cap, beam, source string
		rated, flux, tolerance      float64
	}{
		{"H1", "P14.5s", "low", "encyclopedia list of bulb types (S1)", 55, 1550, 15},
		{"H3", "PK22s", "fog", "encyclopedia list of bulb types (S1)", 55, 1450, 15},
		{"H17", "PU43t-4", "high", "UN R37 Rev.7 Amend.2, sheets H17/1-2 (S3)", 35, 900, 10},
		{"H17", "PU43t-4", "low", "UN R37 Rev.7 Amend.2, sheets H17/1-2 (S3)", 35, 600, 10},
	} {
		size, _ := data.SizeOf(sizes, want.category)
		function, ok := size.FunctionOf(want.beam)
		if !ok || size.Cap != want.cap || *function.RatedW != want.rated || *function.FluxLm != want.flux || *size.FluxTolPlusPct != want.tolerance {
			t.Errorf("%s %s: %+v, not as in %s", want.category, want.beam, size, want.source)
		}
		for _, field := range []string{"cap", "rated", "flux", "flux_tolerance"} {
			if !slices.Contains(size.ReadFields, field) {
				t.Errorf("%s: %s is not marked as read", want.category, field)
			}
		}
	}
	h17, _ := data.SizeOf(sizes, "H17")
	if *h17.LightCentreMM != 28.5 || *h17.Functions[0].MaxW != 37 || *h17.Functions[1].MaxW != 37 || *h17.AtV != 13.2 {
		t.Errorf("H17: %+v, not as in UN R37 Rev.7 Amend.2", h17)
	}
	// Caps: UN R99 Rev.2 sheets DxS (S4) and captions of sheets DxR (S5); flux of D1 and
	// D2: docket summary (S2), 450 lm of 3200 and of 2800 being 14.1 and 16.1 percent.
	for category, plug := range map[string]string{"D1S": "PK32d-2", "D2S": "P32d-2", "D3S": "PK32d-5", "D4S": "P32d-5",
		"D1R": "PK32d-3", "D2R": "P32d-3", "D3R": "PK32d-6", "D4R": "P32d-6"} {
		size, _ := data.SizeOf(sizes, category)
		if size.Cap != plug || !size.Discharge || !slices.Contains(size.ReadFields, "cap") {
			t.Errorf("%s: cap %s, want %s", category, size.Cap, plug)
		}
		function, _ := size.FunctionOf("low")
		want := map[byte]float64{'S': 3200, 'R': 2800}[category[2]]
		if *function.FluxLm != want || math.Abs(450/want*100-*size.FluxTolPlusPct) > 0.05 {
			t.Errorf("%s: flux %v", category, *function.FluxLm)
		}
	}
}

// US figures with a read source: docket summary (S2), light-sources.md section 1d.
func TestReadUSFigures(t *testing.T) {
	figures := knownUS(t)
	for _, want := range []struct {
		kind                    string
		flux, max, lumens, pcts float64
	}{
		{"H11", 1250, 59, 150, 0}, {"H9", 2000, 70, 240, 0}, {"H8", 730, 41, 110, 0}, {"HB3 / HB3A", 1700, 70, 0, 12}, {"HB4 / HB4A", 1000, 60, 0, 15},
		{"HB1 low", 700, 50, 0, 15}, {"HB1 high", 1200, 70, 0, 15}, {"HB2 low", 910, 65, 0, 10}, {"HB2 high", 1500, 72, 0, 10},
	} {
		i := slices.IndexFunc(figures, func(f data.USFigure) bool { return f.Type == want.kind })
		if i < 0 {
			t.Fatalf("no %s", want.kind)
		}
		figure := figures[i]
		tolerance, pct := 0.0, 0.0
		if figure.FluxTolLm != nil {
			tolerance = *figure.FluxTolLm
		}
		if figure.FluxTolPct != nil {
			pct = *figure.FluxTolPct
		}
		if *figure.FluxLm != want.flux || *figure.MaxW != want.max || tolerance != want.lumens || pct != want.pcts {
			t.Errorf("%s: %+v", want.kind, figure)
		}
	}
}

// The US docket list names the coating and the filament of the stock bulb.
func TestBlackTipAgreesWithTheUSList(t *testing.T) {
	sizes := knownSizes(t)
	for _, figure := range knownUS(t) {
		size, ok := data.SizeOf(sizes, figure.Category)
		if !ok || figure.Coating == "black_stripes" {
			continue
		}
		if size.BlackTip == nil || *size.BlackTip != (figure.Coating == "black_tip") || !slices.Contains(size.ReadFields, "black_tip") {
			t.Errorf("%s: black tip %v, the list says %s", size.Category, size.BlackTip, figure.Coating)
		}
	}
	for category, filament := range map[string]string{"H3": "transverse", "HB1": "transverse", "H11": "axial", "HB3": "axial", "D2S": "none", "9009": ""} {
		if size, _ := data.SizeOf(sizes, category); size.Filament != filament {
			t.Errorf("%s: filament %q, want %q", category, size.Filament, filament)
		}
	}
	if size, _ := data.SizeOf(sizes, "H4"); size.BlackTip != nil {
		t.Error("H4: a black tip is claimed that no source names")
	}
}

func TestSimilarSizesAreKnown(t *testing.T) {
	sizes := knownSizes(t)
	for _, size := range sizes {
		for _, similar := range size.SimilarNotSame {
			other, ok := data.SizeOf(sizes, similar.Size)
			if !ok || other.Category == size.Category {
				t.Errorf("%s: similar size %s", size.Category, similar.Size)
			}
			if !slices.ContainsFunc(other.SimilarNotSame, func(back data.Similar) bool { return back.Size == size.Category }) &&
				size.Category != "H4" { // H4 names every two-beam size, for the question is often asked
				t.Errorf("%s warns of %s, not the other way round", size.Category, similar.Size)
			}
		}
	}
}

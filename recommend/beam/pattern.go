package beam

import (
	"errors"
	"fmt"
	"math"
)

// Options say what the beam is and how it is judged.
type Options struct {
	Beam    string // low, high or fog
	Traffic string // right (also empty) or left: the side of the road that is driven on
	Cutoff  string // un (also empty), vol or vor
	Weights Weights
}

// Pattern is the whole finding on one beam: the document behind the verb pattern.
// Angles are degrees, h to the right, v up. A missing figure is nil.
type Pattern struct {
	Beam       string        `json:"beam" enum:"low|high|fog" doc:"what the lamp does"`
	Method     string        `json:"method" enum:"grid|photo|grade" doc:"how it was judged: a measured grid or point list, a pair of photos, marks by eye"` // grid or photo
	Score      float64       `json:"score" min:"0" max:"100" doc:"0 to 100; a part not measured counts at its worst"`
	Low        float64       `json:"low" min:"0" max:"100" doc:"low end of the 95 % band"`
	High       float64       `json:"high" min:"0" max:"100" doc:"high end of the 95 % band"`
	Parts      Parts         `json:"parts" doc:"the five parts, 0 to 1, 1 best; null is not measured"`
	Cutoff     CutoffFigures `json:"cutoff" doc:"the cutoff of a low or fog beam"`
	HotSpot    HotSpotFigure `json:"hot_spot" doc:"the brightest place"`
	Stray      StrayFigures  `json:"stray" doc:"light above the cutoff"`
	Dark       []Area        `json:"dark" doc:"dark spots under the cutoff"`
	WidthDeg   *float64      `json:"width_deg" doc:"width at a tenth of the peak"`
	WidthLeast bool          `json:"width_is_least" doc:"the beam runs on past the edge of the measurement"`    // the beam runs on past the edge of the measurement
	Foreground *float64      `json:"foreground" doc:"light near the car over the peak"`                         // light near the car over the peak
	TiltDeg    *float64      `json:"tilt_deg" doc:"tilt of the picture that was levelled out; null for a grid"` // picture tilt that was levelled out; nil for a grid
	Bands      *Bands        `json:"bands" doc:"95 % bands of a photo's figures; null for a grid and for marks by eye"`
	Limits     []LimitResult `json:"limits" doc:"requirements of published tables beside what was measured; information, no statement of compliance"`
	Notes      []string      `json:"notes" doc:"what limits the figures"`
}

// CutoffFigures describe the cutoff of a low or fog beam.
type CutoffFigures struct {
	V         *float64 `json:"v_deg" doc:"degrees above the axis"`                                                    // inflection of log E at the judged column
	G         *float64 `json:"g" doc:"sharpness, log10 E(b) - log10 E(b + 0.1 deg); a least value unless measurable"` // a least value unless GMeasurable
	GMeasured bool     `json:"g_measurable" doc:"aperture, pixels and blur were small enough to measure G"`
	GVerdict  string   `json:"g_verdict" enum:"under|inside|over|uncertain|not_measurable" doc:"G against its published limits"` // under, inside, over, uncertain, not_measurable
	Linearity *float64 `json:"linearity_deg" doc:"largest vertical difference of the cutoff near the judged column"`
	StockV    *float64 `json:"stock_v_deg" doc:"place of the stock cutoff"`
	StockG    *float64 `json:"stock_g" doc:"sharpness of the stock cutoff"`
	ColumnH   *float64 `json:"column_h_deg" doc:"column where the cutoff was judged"` // where it was judged
}

// HotSpotFigure describes the peak.
type HotSpotFigure struct {
	H           *float64 `json:"h_deg" doc:"degrees right of the axis"` // nil when only marks by eye were given
	V           *float64 `json:"v_deg" doc:"degrees above the axis"`
	Lux         *float64 `json:"lux" doc:"lux at the peak"`
	Candela     *float64 `json:"cd" doc:"intensity of the peak"`
	BelowCutoff *float64 `json:"below_cutoff_deg" doc:"how far the peak lies under the cutoff"`
	VsStock     *float64 `json:"vs_stock" doc:"over the stock beam, same exposure or unit"`                               // level over the stock peak, same exposure or unit
	OnAxis      *float64 `json:"on_axis" doc:"light on the axis over the peak"`                                           // light on the axis over the peak
	Split       *float64 `json:"split" doc:"high beam: least light between two peaks over the lower one; 1 for one peak"` // high beam: least light between two peaks, 1 for one peak
	StockH      *float64 `json:"stock_h_deg" doc:"place of the stock hot spot"`
	StockV      *float64 `json:"stock_v_deg" doc:"place of the stock cutoff"`
}

// StrayFigures describe the light above the cutoff.
type StrayFigures struct {
	VsStock     *float64 `json:"vs_stock" doc:"over the stock beam, same exposure or unit"` // the greater of the whole region and its oncoming half
	VsStockLow  *float64 `json:"vs_stock_low" doc:"low end of the 95 % band of vs_stock; null from a grid"`
	VsStockHigh *float64 `json:"vs_stock_high" doc:"high end of the band: also if all that could be room light or flare were"` // if all that could be room light or flare were
	Why         string   `json:"why" doc:"why the ratio to stock could not be measured; empty when it was, and for a grid"`
	OfPeak      *float64 `json:"of_peak" doc:"mean of the region over the peak"` // mean of the region over the peak
	MeanCd      *float64 `json:"mean_cd" doc:"mean intensity of the region"`
	MostCd      *float64 `json:"most_cd" doc:"greatest intensity of the region"`
	OfLimit     *float64 `json:"of_limit" doc:"worst published maximum above the cutoff, after re-aim; 1 is the limit"` // worst published maximum above the cutoff, after re-aim; 1 is the limit
	OverLimit   *bool    `json:"over_limit" doc:"a published maximum above the cutoff is exceeded even after re-aim"`
	Patches     []Area   `json:"patches" doc:"connected places with more stray light than their surround"`
}

// Drawing is what a picture of a Pattern needs beyond its figures. Both fields
// have the same raster and unit; Stock is nil without a stock beam.
type Drawing struct {
	Bulb, Stock *Field
	Unit        string // lux, cd, or "relative": linear light of the photo, 1 is full scale
	// Cutoff holds the inflection points that were found, left to right.
	Cutoff []Point
	// Region is the outline of the region judged for stray light; empty: none was.
	Region []Point
	// Marks are those of MarkPlan in the pictures, Value their number.
	Marks []Point
	// BulbWhite and StockWhite are cells of the raster that are white in the picture.
	BulbWhite, StockWhite []Point
}

func (o Options) check() (Options, error) {
	if o.Traffic == "" {
		o.Traffic = "right"
	}
	if o.Cutoff == "" {
		o.Cutoff = CutoffUN
	}
	if _, err := weightsFor(o.Beam, o.Weights); err != nil {
		return o, err
	}
	if o.Traffic != "right" && o.Traffic != "left" {
		return o, fmt.Errorf("traffic %q: must be right or left", o.Traffic)
	}
	if o.Cutoff != CutoffUN && o.Cutoff != CutoffVOL && o.Cutoff != CutoffVOR {
		return o, fmt.Errorf("cutoff %q: must be un, vol or vor", o.Cutoff)
	}
	return o, o.Weights.Validate()
}

// kerb is +1 where the kerb is on the right, -1 where it is on the left.
func (o Options) kerb() float64 {
	if o.Traffic == "left" {
		return -1
	}
	return 1
}

// finding gathers what is measured on the way to a Pattern.
type finding struct {
	o           Options
	p           Pattern
	cut, before cutoffFound // the bulb's and the stock beam's
	stray       strayFound
	base        float64 // cutoff from which regions are laid
	hasBase     bool
	widthPart   *float64 // share of stock width, or degrees without stock
	foreStock   float64
	darkSum     float64
}

func (d *finding) note(format string, args ...any) {
	d.p.Notes = append(d.p.Notes, fmt.Sprintf(format, args...))
}

// newFinding has empty lists where nothing is found, never null ones.
func newFinding(o Options) *finding {
	d := &finding{o: o}
	d.p = Pattern{Beam: o.Beam, Dark: []Area{}, Limits: []LimitResult{}, Notes: []string{}}
	d.p.Stray.Patches = []Area{}
	d.p.Cutoff.GVerdict = GNotMeasurable
	return d
}

// judge turns a measured beam, beside stock or alone, into figures.
func judge(bulb, stock *source, o Options) (*finding, error) {
	d := newFinding(o)
	bulb.prepare()
	if bulb.peak <= 0 {
		return nil, errors.New("the beam is dark everywhere")
	}
	if stock != nil {
		stock.prepare()
		if stock.peak <= 0 {
			return nil, errors.New("the stock beam is dark everywhere")
		}
	}
	d.hotSpot(bulb, stock)
	top := math.Inf(1)
	if o.Beam != High {
		d.cutoff(bulb, stock)
		if d.hasBase {
			top = d.base
			d.strayLight(bulb, stock)
		} else {
			d.note("no cutoff was found: stray light, and what lies under the cutoff, could not be told apart")
			top = bulb.hot.V
		}
	}
	d.body(bulb, stock, top)
	return d, nil
}

func (d *finding) placeHot(h, v float64) { d.p.HotSpot.H, d.p.HotSpot.V = &h, &v }

func (d *finding) hotSpot(bulb, stock *source) {
	hot := &d.p.HotSpot
	d.placeHot(d.o.kerb()*bulb.hot.H, bulb.hot.V)
	if share, ok := bulb.axisShare(); ok {
		hot.OnAxis = &share
	}
	if stock != nil {
		ratio, h, v := bulb.peak/stock.peak, d.o.kerb()*stock.hot.H, stock.hot.V
		hot.VsStock, hot.StockH, hot.StockV = &ratio, &h, &v
	}
}

func (d *finding) cutoff(bulb, stock *source) {
	c := &d.p.Cutoff
	column := d.o.kerb() * judgedColumn(d.o.Cutoff)
	c.ColumnH = &column
	d.cut = bulb.cutoff(d.o.Cutoff)
	if stock != nil {
		d.before = stock.cutoff(d.o.Cutoff)
		if d.before.found {
			v := d.before.v
			c.StockV = &v
			// The lamp is not aimed again between the two, so its stock cutoff is
			// where the road's darkness begins.
			d.base, d.hasBase = v, true
			if d.before.measurable {
				g := d.before.g
				c.StockG = &g
			}
		}
	}
	if !d.cut.found {
		d.note("no cutoff was found in the beam at h %.1f", column)
		return
	}
	v := d.cut.v
	c.V, c.Linearity = &v, d.cut.linearity
	below := v - bulb.hot.V
	d.p.HotSpot.BelowCutoff = &below
	if !d.hasBase {
		d.base, d.hasBase = v, true
	} else if shift := v - d.base; math.Abs(shift) > 0.25 {
		d.note("the cutoff lies %+.2f degree from the stock cutoff: aim again and measure again before judging stray light", shift)
	}
	if d.cut.scanned {
		g := d.cut.g
		c.G, c.GMeasured = &g, d.cut.measurable
		c.GVerdict = gVerdict(d.cut, d.o.Weights)
	}
	if !d.cut.measurable {
		d.note("sharpness G cannot be measured here: %s", d.cut.why)
	}
	if d.cut.linearity == nil {
		d.note("the cutoff was not found 1 degree either side of h %.1f, so its straightness is not known", column)
	}
}

func (d *finding) strayLight(bulb, stock *source) {
	d.stray = bulb.stray(d.o.Beam, d.base, stock, d.o.Weights.DarkLeast.Value)
	if !d.stray.measured {
		d.note("less than %.0f %% of the region above the cutoff was measured: stray light is not known", 100*covered)
		return
	}
	s := &d.p.Stray
	share := d.stray.mean / bulb.peak
	s.OfPeak, s.VsStock, s.VsStockHigh = &share, d.stray.vsStock, d.stray.vsStockHigh
	if d.stray.tooDark {
		d.note("the stock beam is too dark above its cutoff to compare: give a second, longer exposure of both")
	}
	for _, a := range d.stray.patches {
		s.Patches = append(s.Patches, d.outward(a))
	}
}

// body measures what lies under the cutoff: dark spots, width, foreground.
func (d *finding) body(bulb, stock *source, top float64) {
	w := d.o.Weights
	for _, a := range bulb.darkSpots(top, stock, w.DarkContrast.Value, w.DarkLeast.Value) {
		d.darkSum += a.sum
		d.p.Dark = append(d.p.Dark, d.outward(a))
	}
	if d.o.Beam == High {
		split := bulb.split()
		d.p.HotSpot.Split = &split
	}
	deg, cut := bulb.width(tenth*bulb.peak, top)
	d.p.WidthDeg, d.p.WidthLeast = &deg, cut
	switch {
	case stock == nil && bulb.candela <= 0:
		d.note("without a stock beam the width part needs candela: give the distance of the lux readings")
	case stock == nil:
		if lit, cut := bulb.width(litCandela/bulb.candela, top); !cut || lit >= w.Width.Good {
			d.widthPart = &lit
		}
	default:
		// Both at one level of light, so that a hole in the peak does not widen the beam.
		was, wasCut := stock.width(tenth*stock.peak, top)
		is, isCut := bulb.width(tenth*stock.peak, top)
		if was > 0 && (!isCut && !wasCut || isCut && !wasCut) {
			share := is / was
			d.widthPart = &share
		}
	}
	if cut {
		d.note("the beam runs on past the edge: its width is at least the figure given")
	}
	if d.hasBase {
		if fore, ok := bulb.foreground(d.base); ok {
			d.p.Foreground = &fore
		}
		if stock != nil {
			d.foreStock, _ = stock.foreground(d.base)
		}
	}
}

// outward turns an area back to left and right as seen.
func (d *finding) outward(a Area) Area {
	if d.o.kerb() < 0 {
		return a.mirrored()
	}
	return a
}

package recommend

import "stillbright/fitment"

// Tiers of a ranked bulb.
const (
	TierAhead  = "ahead"  // ahead of the stock halogen, or not told apart from it
	TierDimmer = "dimmer" // its whole band lies below stock
)

// Evidence grades: how near the tests are to the owner's lamp.
const (
	EvidenceLike    = "like_lamp"     // tested in the owner's size and housing
	EvidenceSibling = "sibling"       // same model, other size, same housing
	EvidenceOther   = "other_housing" // tested, but in the other housing
	EvidenceNone    = "none"
)

// StockID names the fitted halogen in lists of bulb ids.
const StockID = "stock"

// Pick is the decision for one need: the document of `pick`.
type Pick struct {
	Schema       string              `json:"schema" enum:"stillbright/pick/2" doc:"document and version"`
	Answer       Answer              `json:"answer" doc:"the decision in short"`
	Need         Need                `json:"need" doc:"the need as understood and completed"`
	Ranked       []Ranked            `json:"ranked" doc:"bulbs that fit and are known well enough, best first"`
	MeasureFirst []Ranked            `json:"measure_first" doc:"bulbs of which a fact is missing that decides; better leads first"`
	SetAside     []SetAside          `json:"set_aside" doc:"bulbs that are out, with the reason"`
	Stock        Stock               `json:"stock" doc:"the fitted halogen as reference, free of charge"`
	ToMeasure    []fitment.ToMeasure `json:"to_measure" doc:"what the owner must check before ordering"`
	Before       []Before            `json:"before" doc:"what to mend before any bulb is bought"`
	Safety       []string            `json:"safety" doc:"cautions that apply, heaviest first"`
	SafetyLine   string              `json:"-"` // the heaviest in one line
	Law          LawLine             `json:"law" doc:"what is known of the rules"`
	Gates        []Gate              `json:"gates" doc:"how many bulbs each gate removed"`
	Catalog      CatalogLine         `json:"catalog" doc:"where the records come from"`
	Flips        []Flip              `json:"flips" doc:"the smallest change of one weight, of the budget and of one measurement that changes the answer; those that exist"`
	NextQuestion *NextQuestion       `json:"next_question" doc:"the open question whose answer is worth most; null when no answer can change the pick, and in replies that do not ask"`
	Notes        []string            `json:"notes" doc:"what was assumed"`
}

// Kinds of answer besides the kinds of bulb.
const (
	AnswerAnyOf = "any_of"
	AnswerKeep  = "keep"
	AnswerNone  = "none"
)

// Answer is the decision in short.
type Answer struct {
	Kind    string   `json:"kind" enum:"led|any_of|halogen|keep|none" doc:"led or halogen: this bulb; any_of: one of several that cannot be told apart; keep: the fitted halogens stay; none: no LED suits and no halogen is better"`
	Bulb    Word     `json:"bulb" doc:"id of the bulb to buy; null when the halogens stay"`
	AnyOf   []string `json:"any_of" doc:"ids that cannot be told apart, the cheapest first; bulb is the first of them. Empty when the halogens stay"`
	ByLight Word     `json:"by_light" doc:"id of what the measurements alone would choose where the law forbids it on the road; null elsewhere"`
	Halogen Word     `json:"halogen" doc:"id of the best halogen in the catalog, if any"`
	Sure    string   `json:"sure" doc:"one sentence: how sure this is"`
	// Otherwise is the bulb to take when the room behind the lamp, which is not
	// known, turns out too small for the first.
	Otherwise *Otherwise `json:"otherwise" doc:"what to take when the room behind the bulb is too small; null when it is known"`
}

// Otherwise is a second choice that needs less room.
type Otherwise struct {
	Bulb  string  `json:"bulb" doc:"id"`
	Under float64 `json:"under" doc:"room below which the first choice does not fit"`
	Needs float64 `json:"needs" doc:"room that this one needs"`
	Unit  string  `json:"unit" enum:"mm" doc:"unit of both"`
}

// Ranked is one bulb as judged for the need.
type Ranked struct {
	Bulb        string      `json:"bulb" doc:"id"`
	Name        string      `json:"name" doc:"name as sold"`
	Kind        string      `json:"kind" enum:"led|halogen" doc:"kind of bulb"`
	Tier        string      `json:"tier" enum:"ahead|dimmer" doc:"ahead of stock or not told apart from it, or dimmer"`
	Score       float64     `json:"score" min:"0" max:"100" doc:"100 times the weighted sum of the parts"`
	OutputWhy   string      `json:"output_why" doc:"where the output value is from when it is not the hot spot alone; empty otherwise"`
	Parts       Values      `json:"parts" doc:"the three values, expected over the draws"`
	Evidence    string      `json:"evidence" enum:"like_lamp|sibling|other_housing|none" doc:"how near the tests are to the owner's lamp"`
	Hot         Hot         `json:"hot" doc:"light at the end of the trip"`
	Pattern     Band        `json:"pattern" doc:"pattern score with its 95 % band"`
	Glare       Glare       `json:"glare" doc:"the glare gate"`
	Reach       Reach       `json:"reach" doc:"what the light means on the road: reach, stopping, glare"`
	Firm        Firm        `json:"firm" doc:"how sure it is that this bulb is first"`
	TieWith     []string    `json:"tie_with" doc:"ids from which it cannot be told apart; stock is the fitted halogen"`
	Fit         Fit         `json:"fit" doc:"does it go in, light up, stay in"`
	WorthBuying bool        `json:"worth_buying" doc:"it beats keeping the fitted halogen in the stated share of the draws; false where it is not ranked"`
	Missing     []Missing   `json:"missing" doc:"facts about the bulb that are missing and decide"`
	Cautions    []string    `json:"cautions" doc:"what to know about this bulb"`
	Price       *Price      `json:"price" doc:"price, converted to the budget's each or pair"`
	Errors      []ErrorPart `json:"-"` // what went into the band of hot
	judged      judged
}

// Values are the three values of a bulb, 0 to 1.
type Values struct {
	Output  float64 `json:"output" min:"0" max:"1" doc:"output value"`
	Pattern float64 `json:"pattern" min:"0" max:"1" doc:"pattern value"`
	Heat    float64 `json:"heat" min:"0" max:"1" doc:"heat value"`
}

func (v Values) vector() [3]float64 { return [3]float64{v.Output, v.Pattern, v.Heat} }

// Hot is the light at the end of the owner's trip.
type Hot struct {
	Lux         *float64 `json:"lux" doc:"lux on the bench at that time"`
	VsStock     *float64 `json:"vs_stock" doc:"times the stock halogen, both at the reference voltage"`
	VsStockLow  *float64 `json:"vs_stock_low" doc:"low end of the 95 % band, lamp-to-lamp spread included"`
	VsStockHigh *float64 `json:"vs_stock_high" doc:"high end of the 95 % band"`
	RetainedPct *float64 `json:"retained_pct" doc:"hot over switch-on, percent"`
	AtMin       float64  `json:"at_min" doc:"minutes from switch-on"`
}

// Band is a score 0..100 with its 95 % band; null when not measured.
type Band struct {
	Score *float64 `json:"score" min:"0" max:"100" doc:"score; a part not measured counts at its worst"`
	Low   *float64 `json:"low" min:"0" max:"100" doc:"low end of the 95 % band"`
	High  *float64 `json:"high" min:"0" max:"100" doc:"high end of the 95 % band"`
}

// Glare is the glare gate of one bulb.
type Glare struct {
	Verdict string   `json:"verdict" enum:"within|over|unclear|not_measured|not_applicable" doc:"within the gate, over it, measured but with a band across it, not measured, or a beam without a cutoff"`
	VsStock *float64 `json:"vs_stock" doc:"stray light above the cutoff, times stock in the same rig"`
	Why     string   `json:"why" doc:"the reason in words"`
}

// Firm says how sure it is that a bulb is first.
type Firm struct {
	Noise     *float64 `json:"noise" min:"0" max:"1" doc:"probability of being first at the owner's weights, given the doubt of the measurements; it takes bulbs as differing by a bell curve around their centre, and is too high where bad bulbs trail far behind: by a tenth among few bulbs, by up to two tenths among twenty or more"`
	Near      *float64 `json:"near" min:"0" max:"1" doc:"share of the weights near the owner's at which it is first; not a probability"`
	OverStock *float64 `json:"over_stock" min:"0" max:"1" doc:"probability that it is better than keeping the fitted halogen; null for the halogen itself"`
	All       *float64 `json:"all" min:"0" max:"1" doc:"share of all weights at which it is first; not a probability"`
}

// Fit is the fit report of one bulb in the owner's lamp.
type Fit struct {
	Overall  string            `json:"overall" enum:"fits|needs_work|does_not_fit|unknown" doc:"worst verdict; unknowns beside it"`
	Unknowns []string          `json:"unknowns" doc:"checks that could not be made"`
	Checks   []fitment.Finding `json:"checks" doc:"every check"`
}

// Missing is a fact about the bulb that is not in the record.
type Missing struct {
	What string `json:"what" doc:"the fact"`
	How  string `json:"how" doc:"how to measure it"`
}

// Price of a bulb.
type Price struct {
	Amount   float64 `json:"amount" doc:"amount"`
	Currency string  `json:"currency" doc:"ISO 4217"`
	Per      string  `json:"per" enum:"each|pair" doc:"what it buys"`
}

// SetAside is a bulb that is out.
type SetAside struct {
	Bulb    string   `json:"bulb" doc:"id"`
	Name    string   `json:"name" doc:"name as sold"`
	Kind    string   `json:"kind" enum:"led|halogen" doc:"kind of bulb"`
	Because []Reason `json:"because" doc:"every reason"`
}

// Reason is one check that a bulb failed.
type Reason struct {
	Check string `json:"check" doc:"id of the check: glare, budget, or a fit check"`
	Why   string `json:"why" doc:"the reason in words"`
}

// Stock is the fitted halogen as reference.
type Stock struct {
	Size    string  `json:"size" doc:"bulb size"`
	Hot     Hot     `json:"hot" doc:"its light; vs_stock is 1 by definition"`
	Pattern Band    `json:"pattern" doc:"its pattern, measured in the rig or assumed"`
	Score   float64 `json:"score" min:"0" max:"100" doc:"its score on the same scale"`
	Parts   Values  `json:"parts" doc:"its three values; heat is 1, the lamp was made for it"`
	Firm    Firm    `json:"firm" doc:"how sure it is that keeping it is best"`
}

// Before is something to mend before buying.
type Before struct {
	What    string   `json:"what" doc:"what to look at"`
	CostPct *float64 `json:"cost_pct" doc:"percent of the halogen's light it costs at most, where it can be computed"`
	// CostPctLeast is the other end of what the exponents of published tables say.
	CostPctLeast *float64 `json:"cost_pct_least" doc:"percent it costs at least"`
	Text         string   `json:"text" doc:"in words"`
	First        bool     `json:"first" doc:"the owner's own answers point at it"`
	Source       string   `json:"source" doc:"source or common practice"`
}

// LawLine is what is known of the rules at a place for a beam.
type LawLine struct {
	Where      Word   `json:"where" doc:"place asked for"`
	Place      Word   `json:"place" doc:"name of that place"`
	Beam       string `json:"beam" enum:"low|high|fog|drl" doc:"beam the verdict is for; never carried to another"`
	Verdict    string `json:"verdict" enum:"not_permitted|listed_approval_only|inspection_fails|unclear" doc:"verdict shown; unclear at low confidence"`
	RowVerdict Word   `json:"row_verdict" enum:"not_permitted|listed_approval_only|inspection_fails|unclear" doc:"the row's own verdict; null without a row"`
	FailsIf    Word   `json:"fails_if" doc:"for inspection_fails: on what condition; null where an LED in a halogen lamp fails by itself"`
	Confidence Word   `json:"confidence" enum:"high|medium|low" doc:"confidence of the row; null without a row"`
	AsOf       Word   `json:"as_of" doc:"newest date of the source; null when undated"`
	Source     Word   `json:"source" doc:"source of the row"`
	Note       string `json:"note" doc:"what the source says, whose rule it is and how old, in one text, or the default caution"`
	// Says is empty where no place is given.
	Says     []LawSaid `json:"says" doc:"what the source says, statement by statement, or the default caution"`
	Fallback Word      `json:"fallback" doc:"why the rule shown is the country's; null where it is the place's own"`
	YearsOld *int      `json:"years_old" doc:"age of the newest source, where it is old enough to be checked; null else"`
}

// LawSaid is one statement on the law.
type LawSaid struct {
	Known Word   `json:"known" enum:"read|read, weak|read, press|read, blogs|memory|inferred" doc:"how it is known; null where that is not said"`
	Text  string `json:"text" doc:"the statement"`
}

// Gate counts what one gate removed.
type Gate struct {
	Check   string `json:"check" doc:"id of the check"`
	Removed int    `json:"removed" doc:"bulbs it set aside"`
	Alone   int    `json:"alone" doc:"bulbs that only this gate set aside: what relaxing it would bring back"`
	Relax   string `json:"relax" doc:"what would have to change; empty when nothing may"`
}

// CatalogLine says where the records come from.
type CatalogLine struct {
	Name     string `json:"name" doc:"name of the catalog"`
	Invented bool   `json:"invented" doc:"true: made-up demo data"`
}

// ErrorPart is one part of the doubt of a vs-stock figure.
type ErrorPart struct {
	Name   string
	RelU   float64 // relative standard uncertainty
	Shared string  // key shared with other bulbs, or empty
	Owner  bool    // no error of the bench, but what awaits in the owner's lamp
}

// NeverNil is never nil, so that JSON has [] and not null.
func NeverNil[T any](items []T) []T {
	if items == nil {
		return []T{}
	}
	return items
}

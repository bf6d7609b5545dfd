package sheet

import (
	"slices"

	"stillbright/data"
)

// What a column can mean beyond the fields of a record.
const (
	meansLux      = "lux"         // a reading; its time is in the head, a column or the options
	meansHotAt    = "hot_at"      // minutes of the readings that do not say theirs
	meansReadings = "readings"    // all readings in one cell: 0:1190; 27:1071
	meansHousing  = "housing"     // projector or reflector, to find the rig
	meansPrice    = "price"       // amount with its currency
	meansCurrency = "currency"    // of the price, in a column of its own
	meansMaker    = "maker"       // brand, which stands before the name
	meansNote     = "note"        // kept among the notes of the test
	meansTime     = "time"        // a head that is time lit or time of day; its cells tell
	meansDerived  = "derived"     // computed from other columns; never read
	meansIgnore   = "ignore"      // not read
	meansBulbMore = "bulb_record" // the rest of a bulb, as export writes it
	meansTestMore = "test_record" // the rest of a test
	meansRigMore  = "rig_record"  // a rig
)

// slot is the records that one row fills.
type slot struct {
	Bulb data.Bulb
	Lot  data.Lot
	Test data.Test
}

// meaning is one field of a record that a column can fill, and its head in an
// export. Exactly one of number, text, list and count is there.
type meaning struct {
	key, head string
	unit      string // of a number, in the record and in the export
	ofTest    bool
	number    func(*slot) **float64
	text      func(*slot) *string
	list      func(*slot) *[]string
	count     func(*slot) *int
	words     map[string]string // what people write -> legal word
}

var (
	housingWords = map[string]string{"p": data.Projector, "proj": data.Projector, "projector": data.Projector, "projectors": data.Projector, "lens": data.Projector, "r": data.Reflector, "ref": data.Reflector, "refl": data.Reflector, "reflector": data.Reflector, "reflectors": data.Reflector, "bowl": data.Reflector}
	beamWords    = map[string]string{"low": data.BeamLow, "lo": data.BeamLow, "low beam": data.BeamLow, "dipped": data.BeamLow, "dip": data.BeamLow, "lb": data.BeamLow, "high": data.BeamHigh, "hi": data.BeamHigh, "high beam": data.BeamHigh, "main": data.BeamHigh, "hb": data.BeamHigh, "fog": data.BeamFog}
	kindWords    = map[string]string{"led": data.KindLED, "leds": data.KindLED, "halogen": data.KindHalogen, "hal": data.KindHalogen, "stock": data.KindHalogen}
	perWords     = map[string]string{"each": "each", "ea": "each", "single": "each", "1": "each", "bulb": "each", "pair": "pair", "2": "pair", "set": "pair", "pr": "pair"}
	capWords     = map[string]string{"on": "on", "yes": "on", "closed": "on", "y": "on", "off": "off", "no": "off", "open": "off", "n": "off"}
	foldWords    = map[string]string{"none": "none", "no": "none", "n": "none", "seen": "seen", "yes": "seen", "y": "seen"}
	driverWords  = map[string]string{"internal": "internal", "built-in": "internal", "built in": "internal", "none": "internal", "inline": "inline", "in-line": "inline", "external": "external", "separate": "external"}
	pointWords   = map[string]string{"fixed": "fixed", "searched": "searched", "peak": "searched"}
	surfaceWords = map[string]string{"bare_metal": "bare_metal", "bare metal": "bare_metal", "metal": "bare_metal", "painted": "painted", "paint": "painted", "taped": "taped", "tape": "taped", "contact": "contact", "probe": "contact"}
)

// meanings lists the fields in the order of an export.
func meanings() []meaning {
	return []meaning{
		{key: "id", head: "bulb id", text: func(s *slot) *string { return &s.Bulb.ID }},
		{key: "name", head: "name", text: func(s *slot) *string { return &s.Bulb.Name }},
		{key: "model", head: "model family", text: func(s *slot) *string { return &s.Bulb.Model }},
		{key: "kind", head: "kind", text: func(s *slot) *string { return &s.Bulb.Kind }, words: kindWords},
		{key: "size", head: "size", text: func(s *slot) *string { return &s.Bulb.Size }},
		{key: "per", head: "price is for", text: func(s *slot) *string { return &s.Bulb.Per }, words: perWords},
		{key: "claimed_lumens", head: "claimed flux", unit: "lm", number: func(s *slot) **float64 { return &s.Bulb.Claims.Lumens }},
		{key: "claimed_watts", head: "claimed power", unit: "W", number: func(s *slot) **float64 { return &s.Bulb.Claims.Watts }},
		{key: "claimed_cct", head: "claimed colour temperature", unit: "K", number: func(s *slot) **float64 { return &s.Bulb.Claims.CCT }},
		{key: "driver", head: "driver", text: func(s *slot) *string { return &s.Bulb.Supply.Driver }, words: driverWords},
		{key: "source", head: "source", text: func(s *slot) *string { return &s.Bulb.Source }},
		{key: "bulb_notes", head: "bulb notes", list: func(s *slot) *[]string { return &s.Bulb.Notes }},
		{key: "lot", head: "lot", text: func(s *slot) *string { return &s.Lot.Name }},
		{key: "bought", head: "bought", text: func(s *slot) *string { return (*string)(&s.Lot.Bought) }},
		{key: "rig", head: "rig", ofTest: true, text: func(s *slot) *string { return &s.Test.Rig }},
		{key: "beam", head: "beam", ofTest: true, text: func(s *slot) *string { return &s.Test.Beam }, words: beamWords},
		{key: "date", head: "date", ofTest: true, text: func(s *slot) *string { return (*string)(&s.Test.Date) }},
		{key: "volts", head: "volts at the plug", unit: "V", ofTest: true, number: func(s *slot) **float64 { return &s.Test.Volts }},
		{key: "stock_first", head: "stock before", unit: "lx", ofTest: true, number: func(s *slot) **float64 { return &s.Test.Stock.First }},
		{key: "stock_last", head: "stock after", unit: "lx", ofTest: true, number: func(s *slot) **float64 { return &s.Test.Stock.Last }},
		{key: "stock_volts", head: "stock volts", unit: "V", ofTest: true, number: func(s *slot) **float64 { return &s.Test.Stock.Volts }},
		{key: "point", head: "point", ofTest: true, text: func(s *slot) *string { return &s.Test.Point }, words: pointWords},
		{key: "cap", head: "cap", ofTest: true, text: func(s *slot) *string { return &s.Test.Cap }, words: capWords},
		{key: "ambient", head: "ambient", unit: "C", ofTest: true, number: func(s *slot) **float64 { return &s.Test.Ambient }},
		{key: "body", head: "body", unit: "C", ofTest: true, number: func(s *slot) **float64 { return &s.Test.Body }},
		{key: "surface", head: "surface", ofTest: true, text: func(s *slot) *string { return &s.Test.Surface }, words: surfaceWords},
		{key: "fold_back", head: "fold-back", ofTest: true, text: func(s *slot) *string { return &s.Test.FoldBack }, words: foldWords},
		{key: "watts", head: "power", unit: "W", ofTest: true, number: func(s *slot) **float64 { return &s.Test.Watts }},
		{key: "seatings", head: "seatings", ofTest: true, count: func(s *slot) *int { return &s.Test.Seatings }},
		{key: "seating_spread", head: "seating spread", unit: "%", ofTest: true, number: func(s *slot) **float64 { return &s.Test.Spread }},
		{key: "samples", head: "samples", ofTest: true, count: func(s *slot) *int { return &s.Test.Samples }},
		{key: "cct", head: "colour temperature", unit: "K", ofTest: true, number: func(s *slot) **float64 { return &s.Test.CCT }},
		{key: "notes", head: "test notes", ofTest: true, list: func(s *slot) *[]string { return &s.Test.Notes }},
	}
}

func meaningOf(key string) (meaning, bool) {
	all := meanings()
	i := slices.IndexFunc(all, func(m meaning) bool { return m.key == key })
	if i < 0 {
		return meaning{}, false
	}
	return all[i], true
}

// special heads of an export that are no plain field.
var specialHeads = map[string]string{
	"price": meansPrice, "currency": meansCurrency, "readings": meansReadings,
	"more of the bulb": meansBulbMore, "more of the test": meansTestMore, "the rig": meansRigMore,
}

func exportHead(head, unit string) string {
	if unit == "" {
		return head
	}
	return head + " [" + unit + "]"
}

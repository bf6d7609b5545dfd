package sheet

import (
	"slices"
	"sync"

	"stillbright/data"
)

// What a column can mean beyond the fields of a record.
const (
	meansLux      = "lux"         // a reading; its time is in the head, a column or the options
	meansHotAt    = "hot_at"      // minutes of the readings that do not say theirs
	meansReadings = "readings"    // all readings in one cell: 0:1190; 30:1071
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

// What people write for the words that a head or a section can say too.
var housingWords, beamWords, kindWords, perWords = written("rig.housing"), written("test.beam"), written("bulb.kind"), written("bulb.per")

func written(key string) map[string]string {
	facts := data.Facts()
	return facts[slices.IndexFunc(facts, func(f data.Fact) bool { return f.Key == key })].Words
}

// meanings lists the fields in the order of an export: the facts of the records that
// have a column.
var meanings = sync.OnceValue(func() []meaning {
	var facts []data.Fact
	for _, f := range data.Facts() {
		if f.Place > 0 {
			facts = append(facts, f)
		}
	}
	slices.SortFunc(facts, func(a, b data.Fact) int { return a.Place - b.Place })
	var list []meaning
	for _, f := range facts {
		list = append(list, meaningOfFact(f))
	}
	return list
})

func meaningOfFact(f data.Fact) meaning {
	m := meaning{key: f.Column, head: f.Head, unit: f.Unit(), ofTest: f.Record() == "test", words: f.Words}
	at := func(s *slot) any {
		switch f.Record() {
		case "bulb":
			return f.At(&s.Bulb)
		case "lot":
			return f.At(&s.Lot)
		}
		return f.At(&s.Test)
	}
	switch at(new(slot)).(type) {
	case **float64:
		m.number = func(s *slot) **float64 { return at(s).(**float64) }
	case *[]string:
		m.list = func(s *slot) *[]string { return at(s).(*[]string) }
	case *int:
		m.count = func(s *slot) *int { return at(s).(*int) }
	case *data.Date:
		m.text = func(s *slot) *string { return (*string)(at(s).(*data.Date)) }
	default:
		m.text = func(s *slot) *string { return at(s).(*string) }
	}
	return m
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

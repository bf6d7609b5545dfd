package fitment

// check looks at one question and says what it found.
type check func(*question) result

// entry is one line of the table of checks.
type entry struct {
	id      string // as in the answer
	group   string // line of the short list it belongs to
	halogen bool   // asked of a halogen too; the rest a halogen of the right size passes by definition
	parts   bool   // may end in a part to buy: counts against plug and play
	run     check

	// decides says in which lamps a gap in the bulb's record can keep it out of
	// the owner's, although it went into one of the same size and housing on the
	// bench and lit up there; nil: in none.
	decides func(*Lamp) bool
	// urgent orders what the owner is asked to measure: 1 spoils a purchase most
	// often (common practice); 0 comes after these, in the order of the table.
	urgent int
	// relaxes is what would have to change for a bulb that this check keeps out;
	// empty: nothing at the owner's end.
	relaxes string
}

func always(*Lamp) bool              { return true }
func wiredOtherwise(l *Lamp) bool    { return l.Polarity != "" && l.Polarity != PolarityNormal }
func watching(l *Lamp) bool          { return yes(l.Car.Canbus) }
func notSteady(l *Lamp) bool         { return l.Feed != "" && l.Feed != FeedSteady }
func ofTwentyFourVolts(l *Lamp) bool { return l.Car.Volts != nil && system(*l.Car.Volts) == 24 }

// Relaxation is what would have to change for a bulb that a check keeps out, or
// empty where nothing at the owner's end can.
func Relaxation(check string) string {
	for _, entry := range table {
		if entry.id == check {
			return entry.relaxes
		}
	}
	return ""
}

// The groups, in the order of the table.
const (
	groupBase      = "base"
	groupLamp      = "bulb_lamp"
	groupHole      = "hole"
	groupFront     = "front"
	groupEmitter   = "emitter"
	groupClocking  = "clocking"
	groupDual      = "dual"
	groupRetention = "retention"
	groupRear      = "rear"
	groupDriver    = "driver"
	groupSupply    = "supply"
	groupMonitor   = "monitoring"
	groupHeatWater = "heat_water"
	groupWish      = "wish"
)

// table is every check in the order in which an owner would look: does it go
// in, is the light in the right place, does it stay, is there room, does it
// light up, does the car accept it, does it last.
var table = []entry{
	{id: "base", group: groupBase, halogen: true, run: base},
	{id: "bulb_lamp", group: groupLamp, halogen: true, run: bulbLamp, urgent: 1},
	{id: "hole", group: groupHole, run: hole},
	{id: "front", group: groupFront, run: front, urgent: 8},
	{id: "emitter_depth", group: groupEmitter, run: emitterDepth},
	{id: "strip_length", group: groupEmitter, run: stripLength},
	{id: "strip_width", group: groupEmitter, run: stripWidth},
	{id: "board", group: groupEmitter, run: board},
	{id: "emitter_match", group: groupEmitter, run: emitterMatch},
	{id: "clocking", group: groupClocking, run: clocking},
	{id: "cup", group: groupDual, run: cup, decides: always},
	{id: "high_beam", group: groupDual, run: highBeam},
	{id: "collar", group: groupRetention, run: collar},
	{id: "retention", group: groupRetention, parts: true, run: retention, urgent: 7},
	{id: "weight", group: groupRetention, run: weight},
	{id: "seating", group: groupRetention, run: seating},
	{id: "rear", group: groupRear, parts: true, run: rear, decides: always, urgent: 2,
		relaxes: "more room behind the bulb: a deeper cap made for the lamp (--rear-clearance)"},
	{id: "cap_diameter", group: groupRear, run: capDiameter, urgent: 10},
	{id: "driver", group: groupDriver, run: driver, decides: always, urgent: 5, relaxes: "--driver any"},
	{id: "cable", group: groupDriver, parts: true, run: cable, urgent: 9},
	{id: "plug", group: groupDriver, parts: true, run: plug},
	{id: "volts", group: groupSupply, halogen: true, run: volts, decides: ofTwentyFourVolts},
	{id: "ac", group: groupSupply, parts: true, run: alternating, decides: wiredOtherwise},
	{id: "polarity", group: groupSupply, parts: true, run: polarity, decides: wiredOtherwise, urgent: 4},
	{id: "feed", group: groupSupply, parts: true, run: feed, decides: notSteady, urgent: 6},
	{id: "monitoring", group: groupMonitor, parts: true, run: monitoring, decides: watching, urgent: 3,
		relaxes: "a bulb with built-in answer to the bulb check"},
	{id: "inrush", group: groupMonitor, run: inrush},
	{id: "heat", group: groupHeatWater, run: heat},
	{id: "water", group: groupHeatWater, parts: true, run: water},
	{id: "plug_and_play", group: groupWish, run: plugAndPlay},
}

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
	{id: "bulb_lamp", group: groupLamp, halogen: true, run: bulbLamp},
	{id: "hole", group: groupHole, run: hole},
	{id: "front", group: groupFront, run: front},
	{id: "emitter_depth", group: groupEmitter, run: emitterDepth},
	{id: "strip_length", group: groupEmitter, run: stripLength},
	{id: "strip_width", group: groupEmitter, run: stripWidth},
	{id: "board", group: groupEmitter, run: board},
	{id: "emitter_match", group: groupEmitter, run: emitterMatch},
	{id: "clocking", group: groupClocking, run: clocking},
	{id: "cup", group: groupDual, run: cup},
	{id: "high_beam", group: groupDual, run: highBeam},
	{id: "collar", group: groupRetention, run: collar},
	{id: "retention", group: groupRetention, parts: true, run: retention},
	{id: "weight", group: groupRetention, run: weight},
	{id: "seating", group: groupRetention, run: seating},
	{id: "rear", group: groupRear, parts: true, run: rear},
	{id: "cap_diameter", group: groupRear, run: capDiameter},
	{id: "driver", group: groupDriver, run: driver},
	{id: "cable", group: groupDriver, parts: true, run: cable},
	{id: "plug", group: groupDriver, parts: true, run: plug},
	{id: "volts", group: groupSupply, halogen: true, run: volts},
	{id: "ac", group: groupSupply, parts: true, run: alternating},
	{id: "polarity", group: groupSupply, parts: true, run: polarity},
	{id: "feed", group: groupSupply, parts: true, run: feed},
	{id: "monitoring", group: groupMonitor, parts: true, run: monitoring},
	{id: "inrush", group: groupMonitor, run: inrush},
	{id: "heat", group: groupHeatWater, run: heat},
	{id: "water", group: groupHeatWater, parts: true, run: water},
	{id: "plug_and_play", group: groupWish, run: plugAndPlay},
}

// Package question reads what a viewer asks in plain words: bulb sizes with their beams and housings, roads,
// budget, room, wishes, place, and what is asked. It is deterministic, knows only the words it is given
// (data.Words), keeps for each slot the words it came from, and leaves a slot empty when unsure.
//
// The way of a question: fold (case, accents, marks) -> split (tokens) -> find (phrases of the words) ->
// one reader for each group of slots -> lamps put together -> what is asked.
package question

import (
	"maps"

	"stillbright/recommend/need"
)

// Name is a word of the contract; the empty one is JSON null.
type Name = need.Word

// Lamp is one lamp that the asker named, as far as it was said.
type Lamp struct {
	Size    Name `json:"size" doc:"bulb size"`
	Beam    Name `json:"beam" enum:"low|high|fog|both" doc:"what the lamp does"`
	Housing Name `json:"housing" enum:"projector|reflector" doc:"kind of lamp"`
}

// Budget is the upper limit that the asker named.
type Budget struct {
	Amount   float64 `json:"amount" doc:"the most the asker will pay"`
	Currency Name    `json:"currency" doc:"ISO 4217"`
	Per      Name    `json:"per" enum:"each|pair|all" doc:"what the amount is for"`
}

// Span is a stretch of the question: bytes Start (inclusive) to End (exclusive), and the text there.
type Span struct {
	Start int    `json:"start"`
	End   int    `json:"end"`
	Text  string `json:"text"`
}

// Understood is what a careful reader takes from a question. A slot that was not stated is nil or empty. The keys
// are those of the need.
type Understood struct {
	Lamps           []Lamp   `json:"lamps" doc:"lamps that were named"`
	Driving         []string `json:"driving" enum:"city|suburban|rural|highway|mountain|rain|fog|snow|offroad" doc:"driving environments"`
	Budget          *Budget  `json:"budget" doc:"upper limit"`
	RearClearanceMM *float64 `json:"rear_clearance_mm" doc:"room behind the lamp"`
	Canbus          *bool    `json:"canbus" doc:"the car warns when a bulb is out"` // or an error-free bulb is wanted
	Driver          Name     `json:"driver" enum:"internal|inline|external|any" doc:"where a driver may sit"`
	Where           Name     `json:"where" doc:"place code"`
	TripMin         *float64 `json:"trip_min" doc:"minutes of the drive, one way"`
	SpeedKmh        *float64 `json:"speed_kmh" doc:"speed"`
	Climate         Name     `json:"climate" enum:"hot|mild|cold" doc:"climate"`
	CCTK            *float64 `json:"cct_k" doc:"wished colour temperature"`
	PlugAndPlay     *bool    `json:"plug_and_play" doc:"nothing cut, nothing added"`
	Car             Name     `json:"car" doc:"id of a car of the catalog"`

	// Asks is what is asked, the leading reading first; never empty.
	Asks []string `json:"-"`
	// Spans says for each slot (its JSON name; lamps and driving once for each item: lamps[0]) where it was read.
	Spans map[string][]Span `json:"-"`
	// Sure says for each slot that was filled how probable it is that the reading is right, 0 to 1.
	Sure map[string]float64 `json:"-"`
	// Truncated says that the question was longer than MaxBytes and the rest was not read.
	Truncated bool `json:"-"`
}

// Without is what was understood with one slot left empty; a slot that is not read from a quantity stays.
func (u Understood) Without(slot string) Understood {
	switch slot {
	case "trip_min":
		u.TripMin = nil
	case "speed_kmh":
		u.SpeedKmh = nil
	case "budget":
		u.Budget = nil
	case "rear_clearance_mm":
		u.RearClearanceMM = nil
	case "cct_k":
		u.CCTK = nil
	default:
		return u
	}
	u.Spans, u.Sure = maps.Clone(u.Spans), maps.Clone(u.Sure)
	delete(u.Spans, slot)
	delete(u.Sure, slot)
	return u
}

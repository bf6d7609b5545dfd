// Package question reads what a viewer asks in plain words: bulb sizes with their beams and housings, roads,
// budget, room, wishes, place, and what is asked. It is deterministic, knows only the words it is given
// (data.Words), keeps for each slot the words it came from, and leaves a slot empty when unsure.
//
// The way of a question: fold (case, accents, marks) -> split (tokens) -> find (phrases of the words) ->
// one reader for each group of slots -> lamps put together -> what is asked.
package question

import "strings"

// Name is a word of the contract; the empty one is JSON null.
type Name string

// MarshalJSON writes the name as a JSON string, null if it is empty.
func (n Name) MarshalJSON() ([]byte, error) {
	if n == "" {
		return []byte("null"), nil
	}
	var b strings.Builder
	b.WriteByte('"')
	const hex = "0123456789abcdef"
	for _, c := range strings.ToValidUTF8(string(n), "\uFFFD") {
		switch {
		case c == '"' || c == '\\':
			b.WriteByte('\\')
			b.WriteRune(c)
		case c < 0x20 || c == '<' || c == '>' || c == '&' || c == '\u2028' || c == '\u2029':
			b.WriteString(`\u`)
			for shift := 12; shift >= 0; shift -= 4 {
				b.WriteByte(hex[c>>shift&15])
			}
		default:
			b.WriteRune(c)
		}
	}
	b.WriteByte('"')
	return []byte(b.String()), nil
}

// Lamp is one lamp that the asker named, as far as it was said.
type Lamp struct {
	Size    Name `json:"size"`    // canonical bulb size, such as HB3
	Beam    Name `json:"beam"`    // low, high, fog or both
	Housing Name `json:"housing"` // projector or reflector
}

// Budget is the upper limit that the asker named.
type Budget struct {
	Amount   float64 `json:"amount"`
	Currency Name    `json:"currency"` // ISO 4217, empty if not said
	Per      Name    `json:"per"`      // each, pair or all, empty if not said
}

// Span is a stretch of the question: bytes Start (inclusive) to End (exclusive), and the text there.
type Span struct {
	Start int    `json:"start"`
	End   int    `json:"end"`
	Text  string `json:"text"`
}

// Understood is what a careful reader takes from a question. A slot that was not stated is nil or empty.
type Understood struct {
	Lamps           []Lamp   `json:"lamps"`
	Driving         []string `json:"driving"` // in the order of the design
	Budget          *Budget  `json:"budget"`
	RearClearanceMM *float64 `json:"rear_clearance_mm"` // mm behind the lamp
	Canbus          *bool    `json:"canbus"`            // the car watches its bulbs, or an error-free bulb is wanted
	Driver          Name     `json:"driver"`            // internal, inline, external or any
	Where           Name     `json:"where"`             // ISO 3166 code, or EU
	TripMin         *float64 `json:"trip_min"`          // minutes, one way
	SpeedKmh        *float64 `json:"speed_kmh"`
	Climate         Name     `json:"climate"` // hot, mild or cold
	CCTK            *float64 `json:"cct_k"`   // kelvin
	PlugAndPlay     *bool    `json:"plug_and_play"`
	Car             Name     `json:"car"` // id of a car of the garage

	// Asks is what is asked, the leading reading first; never empty.
	Asks []string `json:"-"`
	// Spans says for each slot (its JSON name; lamps and driving once for each item: lamps[0]) where it was read.
	Spans map[string][]Span `json:"-"`
	// Truncated says that the question was longer than MaxBytes and the rest was not read.
	Truncated bool `json:"-"`
}

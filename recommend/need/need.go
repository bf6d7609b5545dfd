// Package need is the owner's situation, and the one table of what is known of
// each fact of it: its flag, unit, bounds, legal words, the question in the
// interview and in a reply, how it is measured, read, written and said. Flags,
// interview, completion, the reader's slots, the command that gives the same
// answer, the key of what was decided before, and "The need" of the long answer
// follow from it.
//
// # Adding a fact
//
// A field of Need, with its key in the document and its legal words as tags, and
// a line of the table. What the decision makes of it is the decision's business.
package need

import (
	"encoding/json"
	"fmt"
	"math"

	"stillbright/data"
)

// Word is a value of a closed list or a short text that may be missing: empty
// is null in JSON.
type Word string

// MarshalJSON writes null for the empty word.
func (w Word) MarshalJSON() ([]byte, error) {
	if w == "" {
		return []byte("null"), nil
	}
	return json.Marshal(string(w))
}

// Weights of the three values; they sum to 1.
type Weights struct {
	Output  float64 `json:"output" doc:"weight of light at the end of the trip" min:"0" max:"1"`
	Pattern float64 `json:"pattern" doc:"weight of the beam pattern" min:"0" max:"1"`
	Heat    float64 `json:"heat" doc:"weight of heat" min:"0" max:"1"`
}

// Vector is light, pattern and heat in this order.
func (w Weights) Vector() [3]float64 { return [3]float64{w.Output, w.Pattern, w.Heat} }

// Normal scales non-negative weights to sum 1. Weights that do so already are left
// alone, so that printed weights read back as they were.
func (w Weights) Normal() Weights {
	sum := w.Output + w.Pattern + w.Heat
	if math.Abs(sum-1) < 1e-12 {
		return w
	}
	return Weights{Output: w.Output / sum, Pattern: w.Pattern / sum, Heat: w.Heat / sum}
}

// Budget is the most the owner will pay.
type Budget struct {
	Amount   float64 `json:"amount" doc:"the most the owner will pay" min:"0"`
	Currency Word    `json:"currency" doc:"ISO 4217; null: taken as the price's own currency"`
	Per      string  `json:"per" enum:"each|pair|all" doc:"what the amount is for"`
}

// Words of the owner's own lamp.
const (
	HalogensOld = "old"
	LensHazy    = "hazy"
)

// Need is the owner's situation. Empty words and nil pointers are unknown; an
// unknown fact of the car becomes something to measure, never something good.
type Need struct {
	Size             string   `json:"size" doc:"bulb size, UN category where there is one"`
	Beam             string   `json:"beam" enum:"low|high|fog|both" doc:"what the lamp does"`
	Housing          Word     `json:"housing" enum:"projector|reflector" doc:"null: every bulb is judged by the worse of the two"`
	Driving          []string `json:"driving" enum:"city|suburban|rural|highway|mountain|rain|fog|snow|offroad" doc:"driving environments; empty: mixed roads"`
	TripMin          float64  `json:"trip_min" doc:"minutes from switch-on to the end of the drive"`
	SpeedKmh         *float64 `json:"speed_kmh" doc:"usual speed on unlit road"`
	Climate          Word     `json:"climate" enum:"hot|mild|cold" doc:"null: judged as mild, the doubt said"`
	Budget           *Budget  `json:"budget" doc:"null: no limit"`
	RearClearanceMM  *float64 `json:"rear_clearance_mm" doc:"flange to the inside of the closed cap"`
	FrontClearanceMM *float64 `json:"front_clearance_mm" doc:"flange to the nearest shield, hood or lens"`
	Driver           Word     `json:"driver" enum:"internal|inline|external|any" doc:"where a driver may sit"`
	Canbus           *bool    `json:"canbus" doc:"the car warns when a bulb is out"`
	Polarity         Word     `json:"polarity" enum:"normal|reversed|ground_switched|ac" doc:"how the plug is wired"`
	Volts            *float64 `json:"volts" doc:"volts at the plug, lamps lit"`
	Halogens         Word     `json:"halogens" enum:"new|old" doc:"the halogens fitted now: old from three years on; null: taken as new"`
	Lens             Word     `json:"lens" enum:"clear|hazy" doc:"the lamp's lens; null: taken as clear"`
	PlugAndPlay      bool     `json:"plug_and_play" doc:"nothing cut, nothing added"`
	CCTK             *float64 `json:"cct_k" doc:"wished colour temperature"`
	Where            Word     `json:"where" doc:"place code whose rules apply"`
	Weights          Weights  `json:"weights" doc:"weights used, the owner's own or from driving and housing"`

	// OwnWeights says that the weights are the owner's own.
	OwnWeights bool `json:"-"`
	// Car is the id of the owner's car where the catalog keeps it, and Lamp the
	// lamp of it; its facts fill what the owner left open.
	Car   string     `json:"-"`
	Lamp  *data.Lamp `json:"-"`
	Cycle bool       `json:"-"` // motorcycle
	// Load is the usual load of the car: empty, driver or full.
	Load string `json:"-"`
	// Imperial says that the owner counts in miles and feet.
	Imperial bool `json:"-"`
}

// SetWeights fixes the owner's own weights; they are scaled to sum 1.
func (n *Need) SetWeights(w Weights) error {
	for _, value := range w.Vector() {
		if math.IsNaN(value) || value < 0 || value > 1000 {
			return fmt.Errorf("weights must be numbers from 0 up")
		}
	}
	if w.Output+w.Pattern+w.Heat <= 0 {
		return fmt.Errorf("weights must not all be 0")
	}
	n.Weights, n.OwnWeights = w.Normal(), true
	return nil
}

// FromLamp fills what the owner left open from the lamp of the car.
func (n *Need) FromLamp() {
	lamp := n.Lamp
	if lamp == nil {
		return
	}
	if n.Housing == "" {
		n.Housing = Word(lamp.Housing)
	}
	if n.RearClearanceMM == nil {
		n.RearClearanceMM = lamp.Rear
	}
	if n.FrontClearanceMM == nil {
		n.FrontClearanceMM = lamp.Front
	}
	if n.Polarity == "" {
		n.Polarity = Word(lamp.Polarity)
	}
}

// Error is a need that contradicts itself or cannot be served, or a word of it
// that cannot be read.
type Error struct {
	Message string // what, of what, legal values
	Hint    string // something to type
}

func (e *Error) Error() string { return e.Message }

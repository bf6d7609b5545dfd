package recommend

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"

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

func (w Weights) vector() [3]float64 { return [3]float64{w.Output, w.Pattern, w.Heat} }

// normal scales non-negative weights to sum 1. Weights that do so already are left
// alone, so that printed weights read back as they were.
func (w Weights) normal() Weights {
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
	PlugAndPlay      bool     `json:"plug_and_play" doc:"nothing cut, nothing added"`
	CCTK             *float64 `json:"cct_k" doc:"wished colour temperature"`
	Where            Word     `json:"where" doc:"place code whose rules apply"`
	Weights          Weights  `json:"weights" doc:"weights used, the owner's own or from driving and housing"`

	// Lamp is the owner's lamp where a car of the garage is known; its facts
	// fill what the flags leave open.
	Lamp  *data.Lamp `json:"-"`
	Cycle bool       `json:"-"` // motorcycle
	// Load is the usual load of the car: empty, driver or full.
	Load string `json:"-"`
	// Imperial says that the owner counts in miles and feet.
	Imperial bool `json:"-"`

	ownWeights bool
}

// SetWeights fixes the owner's own weights; they are scaled to sum 1.
func (n *Need) SetWeights(w Weights) error {
	for _, value := range w.vector() {
		if math.IsNaN(value) || value < 0 || value > 1000 {
			return fmt.Errorf("weights must be numbers from 0 up")
		}
	}
	if w.Output+w.Pattern+w.Heat <= 0 {
		return fmt.Errorf("weights must not all be 0")
	}
	n.Weights, n.ownWeights = w.normal(), true
	return nil
}

// TakeWeights takes the owner's own weights of another need, if it has any.
func (n *Need) TakeWeights(from Need) {
	if from.ownWeights {
		n.Weights, n.ownWeights = from.Weights, true
	}
}

// NeedError is a need that contradicts itself or cannot be served.
type NeedError struct {
	Message string // what, of what, legal values
	Hint    string // something to type
}

func (e *NeedError) Error() string { return e.Message }

// complete fills what the owner left open from the lamp and the rules, and
// refuses what contradicts itself. The notes say what was assumed.
func (n Need) complete(k *Knowledge) (Need, data.Size, []string, error) {
	size, err := k.size(n.Size)
	if err != nil {
		return n, size, nil, err
	}
	if n.Lamp != nil && n.Lamp.Technology == "led_module" {
		return n, size, nil, &NeedError{
			Message: "this lamp has factory LED modules; there is no bulb to replace",
			Hint:    "a lamp unit or module comes from the vehicle maker",
		}
	}
	return n.completeWith(k, size)
}

// completeFor is complete for the fit checks, which say themselves what a lamp
// without a halogen bulb means.
func (n Need) completeFor(k *Knowledge, technology string) (Need, data.Size, []string, error) {
	if technology == "" || technology == "halogen" {
		return n.complete(k)
	}
	match, _, ok := data.FindSize(k.Sizes, n.Size)
	if !ok {
		return n.complete(k)
	}
	return n.completeWith(k, match.Size)
}

func (n Need) completeWith(k *Knowledge, size data.Size) (Need, data.Size, []string, error) {
	var notes []string
	n.Size = size.Category
	if n.Beam == "" {
		n.Beam = defaultBeam(size)
		notes = append(notes, fmt.Sprintf("No beam given: %s taken, the usual one for %s.", n.Beam, n.Size))
	}
	if err := beamFits(size, n.Beam); err != nil {
		return n, size, nil, err
	}
	n.fromLamp()
	if n.Driving == nil {
		n.Driving = []string{}
	}
	for _, name := range n.Driving {
		if _, ok := k.profile(name); !ok {
			return n, size, nil, &NeedError{
				Message: fmt.Sprintf("driving %q is not known; legal: %s", name, strings.Join(k.profileNames(), " ")),
				Hint:    didYouMean(name, k.profileNames()),
			}
		}
	}
	if n.TripMin == 0 {
		n.TripMin = k.Rules.Choice.TripMin.Value
		notes = append(notes, fmt.Sprintf("No trip given: %.0f min taken.", n.TripMin))
	}
	if !n.ownWeights {
		n.Weights = k.weights(n)
	}
	if n.Housing == "" {
		notes = append(notes, "No housing given: each bulb is judged by the worse of projector and reflector.")
	}
	if n.Budget != nil && n.Budget.Per == "" {
		budget := *n.Budget
		budget.Per = "pair"
		n.Budget = &budget
		notes = append(notes, "Budget taken for a pair.")
	}
	return n, size, notes, nil
}

// fromLamp fills what the owner's flags leave open from the lamp of the car.
func (n *Need) fromLamp() {
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

// defaultBeam is the beam a size usually serves: both where one bulb does low
// and high, else the one that the record of the size names first.
func defaultBeam(size data.Size) string {
	switch {
	case size.Dual && slices.Contains(size.Beams, data.BeamLow):
		return data.BeamBoth
	case len(size.Beams) > 0:
		return size.Beams[0]
	}
	return data.BeamLow
}

func beamFits(size data.Size, beam string) error {
	legal := size.Serves()
	if len(legal) == 0 || slices.Contains(legal, beam) {
		return nil
	}
	return &NeedError{
		Message: fmt.Sprintf("beam %q does not go with size %s; it serves %s", beam, size.Category, strings.Join(legal, ", ")),
		Hint:    "--beam " + legal[0],
	}
}

// weights for driving and housing: the mean of the driving profiles, then some
// moved from output to pattern in a reflector (and where the housing is not
// known, since it may be one).
func (k *Knowledge) weights(n Need) Weights {
	var sum Weights
	profiles := k.profiles(n.Driving)
	for _, p := range profiles {
		sum.Output += p.Output
		sum.Pattern += p.Pattern
		sum.Heat += p.Heat
	}
	w := sum.normal()
	if n.Housing != data.Projector && n.Beam != data.BeamHigh {
		shift := math.Min(k.Rules.Choice.ReflectorShift.Value, w.Output)
		w.Output -= shift
		w.Pattern += shift
	}
	return w
}

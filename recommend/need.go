package recommend

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"stillbright/data"
	"stillbright/recommend/need"
)

// The owner's need and its parts stand in a room of their own.
type (
	Need      = need.Need
	Weights   = need.Weights
	Budget    = need.Budget
	Word      = need.Word
	NeedError = need.Error
)

// complete fills what the owner left open from the lamp and the rules, and
// refuses what contradicts itself. The notes say what was assumed.
func complete(n Need, k *Knowledge) (Need, data.Size, []string, error) {
	size, err := k.Size(n.Size)
	if err != nil {
		return n, size, nil, err
	}
	if n.Lamp != nil && n.Lamp.Technology == "led_module" {
		return n, size, nil, &NeedError{
			Message: "this lamp has factory LED modules; there is no bulb to replace",
			Hint:    "a lamp unit or module comes from the vehicle maker",
		}
	}
	return completeWith(n, k, size)
}

// completeFor is complete for the fit checks, which say themselves what a lamp
// without a halogen bulb means.
func completeFor(n Need, k *Knowledge, technology string) (Need, data.Size, []string, error) {
	if technology == "" || technology == "halogen" {
		return complete(n, k)
	}
	match, _, ok := data.FindSize(k.Sizes, n.Size)
	if !ok {
		return complete(n, k)
	}
	return completeWith(n, k, match.Size)
}

func completeWith(n Need, k *Knowledge, size data.Size) (Need, data.Size, []string, error) {
	var notes []string
	n.Size = size.Category
	if n.Beam == "" {
		n.Beam = defaultBeam(size)
		notes = append(notes, fmt.Sprintf("No beam given: %s taken, the usual one for %s.", n.Beam, n.Size))
	}
	if err := BeamFits(size, n.Beam); err != nil {
		return n, size, nil, err
	}
	n.FromLamp()
	if n.Driving == nil {
		n.Driving = []string{}
	}
	for _, name := range n.Driving {
		if _, ok := k.profile(name); !ok {
			return n, size, nil, &NeedError{
				Message: fmt.Sprintf("driving %q is not known; legal: %s", name, strings.Join(k.ProfileNames(), " ")),
				Hint:    didYouMean(name, k.ProfileNames()),
			}
		}
	}
	if n.TripMin == 0 {
		n.TripMin = k.Rules.Choice.TripMin.Value
		notes = append(notes, fmt.Sprintf("No trip given: %.0f min taken.", n.TripMin))
	}
	if !n.OwnWeights {
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

func BeamFits(size data.Size, beam string) error {
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
	w := sum.Normal()
	if n.Housing != data.Projector && n.Beam != data.BeamHigh {
		shift := math.Min(k.Rules.Choice.ReflectorShift.Value, w.Output)
		w.Output -= shift
		w.Pattern += shift
	}
	return w
}

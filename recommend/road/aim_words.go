package road

import (
	"slices"

	"stillbright/data"
)

// note adds what limits the figure, each only where it applies.
func (p *AimPlan) note(in AimInput, beam string, rule *data.AimRule) {
	add := func(text string) { p.Notes = append(p.Notes, text) }
	if p.From == FromNone && beam != data.BeamHigh {
		add("Look for a plate with a percent figure on the lamp or under the bonnet, and for VOL, VOR or an E in a circle on the lens.")
	}
	if code := places(in.Where)[0]; rule != nil && p.From == FromPlace && !slices.Contains(rule.Places, code) {
		add("No rule of " + code + " itself is on file; this is its country's. Ask there.")
	}
	if rule != nil && rule.HeightOf == "lower_edge" {
		add("The rule counts the height of the lamp's lower edge; the height given is the lamp centre.")
	}
	if rule != nil && rule.Kind == "inspection" {
		add("These are the limits of a test, not a place to set. Inside them, the taped stock cutoff says where.")
	}
	if p.Confidence == data.ConfidenceMemory {
		add("This rule is from memory. The plate on the car or its handbook goes first.")
	}
	if p.From == FromMarking && in.Marking == MarkingVOR && in.HeightMM > 914 {
		add("SAE J599 (from memory) sets VOR lamps higher than 36 in at 2.0 in below at 25 ft, and those higher than 48 in at 2.5 in.")
	}
	if p.InspectionMM != nil && p.TargetMM != nil {
		if *p.TargetMM < p.InspectionMM.Least || *p.TargetMM > p.InspectionMM.Most {
			add("This setting is outside what the inspection of the place lets pass. Ask before setting it; the lamp may be made for another market.")
		} else {
			add("This setting is inside what the inspection of the place lets pass.")
		}
	}
	if beam == data.BeamHigh {
		add("Where low and high beam share a lamp, set the low beam; the high beam moves with it.")
	}
	if in.Load == "full" {
		add("The setting is for the driver alone. With people in the back or luggage the beam rises: 20 mm of sag over a wheelbase of 2.6 m is 0.44 degree. Turn the levelling wheel down for such trips, or set the aim with that load.")
	}
}

// instruct writes what to do before, during and after the swap. No figure stands in
// these lines, so that the caller can print the drop in the owner's units.
func (p *AimPlan) instruct(in AimInput) {
	kerb, oncoming := "the kerb side", "the side of oncoming traffic"
	switch in.Traffic {
	case RightHand:
		kerb, oncoming = "the right", "the left"
	case LeftHand:
		kerb, oncoming = "the left", "the right"
	}
	p.Before = []string{
		"Park on a level floor, square to a plain wall, at the stated distance from lamp to wall.",
		"Set the tyre pressures, take luggage out, put a person in the driver's seat and the levelling wheel at its zero.",
		"Mark on the wall the height of the lamp centres and the point straight ahead of each lamp.",
	}
	p.After = []string{
		"Check again hot, after as long a time as a usual trip: the beam may sink or dim.",
		"Photograph again with the same exposure and compare with the first picture.",
		"Check collar and aim again after a week of driving.",
	}
	if p.Feature == "hot_spot" {
		p.hotSpotSteps()
		return
	}
	flat := oncoming
	switch in.Marking {
	case MarkingVOL:
		flat = "the left"
	case MarkingVOR:
		flat = "the right"
	}
	p.Before = append(p.Before,
		"With the old halogens still in and warm, cover one lamp at a time and tape the stock cutoff of the other on the wall: its flat part and its step, which rises toward "+kerb+".",
		lockPictures)
	mark, place := "Mark the drop below the height of the lamp centre.", "to the mark with the vertical screw"
	switch {
	case p.DropMM == nil:
		mark, place = "", "onto its tape with the vertical screw"
	case p.TargetMM == nil:
		mark = "Mark the two limits below the height of the lamp centre."
		place = "onto its tape with the vertical screw; it must lie between the limits"
	}
	if mark != "" {
		p.Steps = append(p.Steps, mark)
	}
	p.Steps = append(p.Steps,
		fitAndLight,
		"Bring the flat part of the cutoff, on "+flat+" of the beam, "+place+". Aim by the cutoff, not by the hot spot.",
		"Leave the sideways setting alone unless the step has left its tape.",
		"If there is no clear cutoff, or it cannot be brought into the taped shape, put the halogen back: aiming does not cure a misplaced emitter.")
}

const (
	fitAndLight  = "Let the lamp cool, fit the new bulb, close the cap, and light it until it is warm."
	lockPictures = "Photograph each beam with focus, exposure and white balance locked, and write the settings down."
)

// hotSpotSteps is the way for a beam that has no cutoff to aim by.
func (p *AimPlan) hotSpotSteps() {
	p.Before = append(p.Before,
		"With the old halogens still in and warm, cover one lamp at a time and tape the middle of the stock hot spot of the other on the wall. This beam has no cutoff to aim by.",
		lockPictures)
	place := "its tape"
	if p.TargetMM != nil {
		place = "the height of the rule, straight ahead of the lamp"
	}
	p.Steps = append(p.Steps,
		fitAndLight,
		"Bring the middle of the hot spot onto "+place+", up and down first, then sideways.",
		"If there are two hot spots, or none, put the halogen back: aiming does not cure a misplaced emitter.")
}

package recommend

import (
	"fmt"
	"strings"

	"stillbright/data"
)

// Knowledge is what the program knows apart from anybody's bench: sizes, law,
// places, the judged thresholds and the cautions.
type Knowledge struct {
	Sizes    []data.Size
	Law      []data.LawRow
	LawNotes []data.LawNote
	Places   []data.Place
	Rules    data.Rules
	Fit      data.FitRules
	Pattern  data.PatternRules
	Cautions []data.Caution
	Claims   []data.ClaimRung
	Aim      []data.AimRule
	Replies  []data.ReplyText
}

// Size finds a size by category or alias, and refuses what is no halogen bulb.
func (k *Knowledge) Size(text string) (data.Size, error) {
	if text == "" {
		return data.Size{}, &NeedError{Message: "no bulb size given", Hint: "--size H11 (it is printed on the old bulb)"}
	}
	match, near, ok := data.FindSize(k.Sizes, text)
	if !ok {
		hint := "list them with: stillbright size"
		if len(near) > 0 {
			hint = "did you mean " + strings.Join(near, " or ") + "?"
		}
		return data.Size{}, &NeedError{Message: fmt.Sprintf("size %q is not known", text), Hint: hint}
	}
	size := match.Size
	if size.Discharge {
		return data.Size{}, &NeedError{
			Message: fmt.Sprintf("%s is a discharge lamp, not a halogen lamp; no halogen-lamp test says anything about it", size.Category),
			Hint:    "read the size on the bulb itself; a discharge lamp has a ballast and high voltage, leave it to a workshop",
		}
	}
	return size, nil
}

func (k *Knowledge) profile(name string) (data.Profile, bool) {
	for _, profile := range k.Rules.Driving {
		if profile.Name == name {
			return profile, true
		}
	}
	return data.Profile{}, false
}

func (k *Knowledge) ProfileNames() []string {
	names := make([]string, len(k.Rules.Driving))
	for i, profile := range k.Rules.Driving {
		names[i] = profile.Name
	}
	return names
}

// mixed stands for an owner who says nothing about the roads.
var mixed = []string{"suburban", "rural", "highway"}

func (k *Knowledge) profiles(driving []string) []data.Profile {
	if len(driving) == 0 {
		driving = mixed
	}
	var list []data.Profile
	for _, name := range driving {
		if profile, ok := k.profile(name); ok {
			list = append(list, profile)
		}
	}
	return list
}

func didYouMean(word string, names []string) string {
	near := data.Near(word, names)
	if len(near) == 0 {
		return ""
	}
	return "did you mean " + strings.Join(near, " or ") + "?"
}

package data

import "strings"

// MarkingFile is the file of lens markings.
type MarkingFile struct {
	Format   int       `yaml:"format" req:"1" min:"1" max:"1" doc:"version of this file format; 1"`
	Markings []Marking `yaml:"markings" req:"1" doc:"one record for each marking"`
}

// Marking is one letter group on a headlamp lens.
type Marking struct {
	Mark       string   `yaml:"mark" req:"1" doc:"the letters as moulded"`
	Forms      []string `yaml:"forms" doc:"other ways it is written"`
	Region     string   `yaml:"region" req:"1" enum:"UN|US" doc:"rule it belongs to"`
	Meaning    string   `yaml:"meaning" req:"1" doc:"what it says of the lamp"`
	Source     string   `yaml:"source" req:"1" doc:"where it was read"`
	Confidence string   `yaml:"confidence" req:"1" enum:"read|read_secondary|memory" doc:"how it is known"`
}

// ReadLens splits what stands on a lens into the markings that are known and
// the bulb sizes named there. Words that are neither are returned as unread.
func ReadLens(markings []Marking, sizes []Size, text string) (found []Marking, named []SizeMatch, unread []string) {
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == ',' || r == ';' || r == '\t' }) {
		if marking, ok := lensMark(markings, word); ok {
			found = append(found, marking)
			continue
		}
		if match, ok := sizeNamed(sizes, word); ok {
			named = append(named, match)
			continue
		}
		unread = append(unread, word)
	}
	return found, named, unread
}

// lensMark finds a marking, whole or with the E and number of an approval.
func lensMark(markings []Marking, word string) (Marking, bool) {
	upper := strings.ToUpper(word)
	for _, marking := range markings {
		for _, form := range append([]string{marking.Mark}, marking.Forms...) {
			if strings.ToUpper(form) == upper {
				return marking, true
			}
		}
	}
	if len(upper) >= 2 && len(upper) <= 4 && upper[0] == 'E' && strings.Trim(upper[1:], "0123456789") == "" {
		for _, marking := range markings {
			if marking.Mark == "E" {
				return marking, true
			}
		}
	}
	return Marking{}, false
}

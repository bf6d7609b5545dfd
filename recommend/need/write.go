package need

import (
	"reflect"
	"slices"
	"strconv"
	"strings"

	"stillbright/data/quantity"
)

// Open says whether the owner left a fact open.
func (f *Fact) Open(n Need) bool { return f.text(&n) == "" }

// Open says whether the owner left a slot open.
func (n Need) Open(s Slot) bool { return Of(s).Open(n) }

// Text is a fact as it is typed behind its flag: Take reads it back. It is empty
// for a fact that was left open.
func (f *Fact) Text(n Need) string { return f.text(&n) }

func (f *Fact) text(n *Need) string {
	switch f.Kind {
	case OfCar:
		return n.Car
	case OfPer:
		if n.Budget == nil {
			return ""
		}
		return n.Budget.Per
	case OfMoney:
		if n.Budget == nil {
			return ""
		}
		return quantity.Number(n.Budget.Amount) + string(n.Budget.Currency)
	case OfWeights:
		if !n.OwnWeights {
			return ""
		}
		return "output=" + quantity.Number(n.Weights.Output) + ",pattern=" + quantity.Number(n.Weights.Pattern) + ",heat=" + quantity.Number(n.Weights.Heat)
	}
	switch field := f.at(n).(type) {
	case *string:
		return *field
	case *Word:
		return string(*field)
	case *[]string:
		return strings.Join(*field, ",")
	case *bool:
		if *field {
			return "true"
		}
	case **bool:
		if *field != nil {
			return strconv.FormatBool(**field)
		}
	case *float64:
		if *field > 0 {
			return quantity.Number(*field) + f.Unit
		}
	case **float64:
		if *field != nil {
			return quantity.Number(**field) + f.Unit
		}
	}
	return ""
}

// Copy takes a fact over from another need, also that it is open. A car and what
// a budget is for come with their own.
func (f *Fact) Copy(to *Need, from Need) {
	switch f.Kind {
	case OfCar, OfPer:
	case OfWeights:
		if from.OwnWeights {
			to.Weights, to.OwnWeights = from.Weights, true
		}
	case OfRoads:
		to.Driving = slices.Clone(from.Driving)
	default:
		reflect.ValueOf(to).Elem().Field(f.field).Set(reflect.ValueOf(from).Field(f.field))
	}
}

// Command writes a need as the pick command that gives the same answer from the
// same records.
func Command(n Need) string {
	line := make([]byte, 0, 200)
	line = append(line, "stillbright pick"...)
	for _, f := range written {
		text := f.text(&n)
		if text == "" {
			continue
		}
		line = append(append(line, " --"...), f.Flag...)
		if f.Kind != OfWish {
			line = append(append(line, ' '), ShellWord(text)...)
		}
	}
	return string(line)
}

// written are the facts in the order of a command: the car first, since its lamp
// fills what the others leave open.
var written []*Fact

// ShellWord quotes a word for a shell where it needs that.
func ShellWord(word string) string {
	plain := func(r rune) bool {
		return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune("-_./=,:+@%", r)
	}
	if word != "" && strings.IndexFunc(word, func(r rune) bool { return !plain(r) }) < 0 {
		return word
	}
	return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
}

// Sentence is a completed need in one sentence: every fact that was said or
// assumed.
func Sentence(n Need) string {
	parts := []string{n.Size + " " + n.Beam}
	for i := range table {
		if said := table[i].Said(n); said != "" {
			parts = append(parts, said)
		}
	}
	return strings.Join(parts, ", ")
}

// perWords say what a budget is for.
var perWords = map[string]string{"each": "each", "pair": "a pair", "all": "in all"}

// Said is a fact as a person says it; empty for one that is not said.
func (f *Fact) Said(n Need) string {
	value := f.Text(n)
	switch f.Kind {
	case OfRoads:
		value = strings.Join(n.Driving, "+")
	case OfMoney:
		if n.Budget != nil {
			value = strings.TrimSpace(strings.TrimSpace(quantity.Format(n.Budget.Amount, "", 6)+" "+string(n.Budget.Currency)) + " " + perWords[n.Budget.Per])
		}
	case OfNumber:
		if value != "" {
			value = quantity.Format(number(f.at(&n)), "", 3) + " " + f.Unit
		}
	case OfTruth:
		if value == "false" {
			return f.Denies
		}
	case OfWeights:
		fixed := func(v float64) string { return strconv.FormatFloat(v, 'f', 2, 64) }
		value = "output " + fixed(n.Weights.Output) + ", pattern " + fixed(n.Weights.Pattern) + ", heat " + fixed(n.Weights.Heat)
	}
	switch {
	case value == "" && f.Slot == Housing:
		return "the worse of projector and reflector"
	case value == "":
		return ""
	}
	return strings.ReplaceAll(f.Says, "%s", value)
}

func number(field any) float64 {
	switch field := field.(type) {
	case *float64:
		return *field
	case **float64:
		return **field
	}
	return 0
}

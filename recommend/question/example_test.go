package question_test

import (
	"fmt"

	"stillbright/data"
	"stillbright/recommend/question"
)

// The words are data: a reader knows what it is given, here almost nothing.
func ExampleReader_Read() {
	words := data.Words{
		Sizes:      data.Section{"H7": {"h7"}},
		Beams:      data.Section{"low": {"(dip|dipped) [beam]"}},
		Currencies: data.Section{"GBP": {"quid"}},
		Per:        data.Section{"each": {"a bulb"}},
		Numbers:    data.Section{"30": {"thirty"}},
		Topics:     data.Section{"headlamp": {"headlight~"}},
	}
	u := question.New(words, nil).Read("H7 dipped, thirty quid a bulb")
	fmt.Println(u.Lamps[0].Size, u.Lamps[0].Beam, u.Budget.Amount, u.Budget.Currency, u.Budget.Per, u.Asks[0])
	fmt.Println(u.Spans["budget"][0].Text)
	// Output:
	// H7 low 30 GBP each pick
	// thirty quid
}

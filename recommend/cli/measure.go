package cli

import (
	"strings"

	"stillbright/data"
	"stillbright/recommend/plaintext"
)

const measureIntro = `How to measure, before ordering

Lamps off and cold, ignition off, unless a line says otherwise. Do not look into
a lit lamp. A discharge lamp starts with thousands of volts: leave it to a
workshop. What cannot be measured is left out; the answer then says what it
depends on. stillbright car add ID asks for the same, and keeps it.
`

// measureHelp says how each fact of a car is found, in the words in which the
// interview asks for it.
func measureHelp() string {
	var text strings.Builder
	text.WriteString(measureIntro)
	for _, f := range data.FactsOf(data.OfLamp, data.OfCar) {
		if f.Key == "car.name" {
			continue
		}
		text.WriteString("\n" + f.Ask + "\n")
		for _, line := range plaintext.Wrap(f.How, helpWidth-13) {
			text.WriteString(strings.Repeat(" ", 13) + line + "\n")
		}
	}
	return text.String()
}

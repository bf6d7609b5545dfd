package answer

import (
	"fmt"
	"strconv"
	"strings"

	"stillbright/recommend/question"
	"stillbright/recommend/reply"
)

// roadWords are the driving environments as a person would say them.
var roadWords = [...][2]string{
	{"city", "city streets"}, {"suburban", "suburbs"}, {"rural", "country roads"}, {"highway", "motorway"}, {"mountain", "mountain roads"},
	{"rain", "rain"}, {"fog", "fog"}, {"snow", "snow"}, {"offroad", "off road"},
}

// Understood says in one sentence what was taken from a question, so that a wrong reading is seen at a glance:
// "Understood: H11 low beam, projector, country roads, at most 80 USD a pair, Kansas."
func Understood(r *reply.Reply) string {
	u := &r.Understood
	var said []string
	add := func(is bool, text string) {
		if is {
			said = append(said, text)
		}
	}
	for _, lamp := range u.Lamps {
		add(true, lampSaid(lamp))
	}
	for _, road := range roadWords {
		for _, d := range u.Driving {
			add(d == road[0], road[1])
		}
	}
	if b := u.Budget; b != nil {
		per := map[question.Name]string{"each": " each", "pair": " a pair", "all": " for all"}[b.Per]
		add(true, strings.TrimSpace("at most "+figure(b.Amount)+" "+string(b.Currency))+per)
	}
	if u.TripMin != nil {
		add(true, figure(*u.TripMin)+" min one way")
	}
	if u.SpeedKmh != nil {
		add(true, figure(*u.SpeedKmh)+" km/h")
	}
	if u.RearClearanceMM != nil {
		add(true, figure(*u.RearClearanceMM)+" mm behind the lamp")
	}
	if u.Canbus != nil {
		add(*u.Canbus, "bulb check")
		add(!*u.Canbus, "no bulb check")
	}
	add(u.Driver == "any", "driver anywhere")
	add(u.Driver != "" && u.Driver != "any", string(u.Driver)+" driver")
	if u.PlugAndPlay != nil {
		add(*u.PlugAndPlay, "no cutting, no extra parts")
		add(!*u.PlugAndPlay, "wiring work is fine")
	}
	if u.CCTK != nil {
		add(true, figure(*u.CCTK)+" K")
	}
	add(u.Climate != "", string(u.Climate)+" climate")
	add(u.Where != "", placeSaid(r))
	add(u.Car != "", "car "+string(u.Car))
	if len(said) == 0 {
		return "Understood: nothing about your lamps or your driving."
	}
	return "Understood: " + strings.Join(said, ", ") + "."
}

// lampSaid is one lamp as far as it was said.
func lampSaid(l question.Lamp) string {
	words := strings.TrimSpace(string(l.Size) + " " + map[question.Name]string{"low": "low beam", "high": "high beam", "fog": "fog lamp", "both": "low and high beam"}[l.Beam])
	switch {
	case words == "":
		return string(l.Housing)
	case l.Housing != "":
		return words + ", " + string(l.Housing)
	}
	return words
}

// placeSaid is the name of the place, its code where no name is known.
func placeSaid(r *reply.Reply) string {
	for _, law := range r.Law {
		if law.Name != "" {
			return string(law.Name)
		}
	}
	return string(r.Understood.Where)
}

// figure prints a number to a tenth, without an empty one.
func figure(v float64) string {
	return strings.TrimSuffix(strconv.FormatFloat(v, 'f', 1, 64), ".0")
}

// UnderstoodAsks names what was taken to be asked, the leading one first.
func UnderstoodAsks(r *reply.Reply) string {
	return fmt.Sprintf("Asked: %s.", strings.Join(r.Asks, ", "))
}

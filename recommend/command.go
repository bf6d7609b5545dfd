package recommend

import (
	"strconv"
	"strings"
)

// CommandLine writes a need as the pick command that gives the same answer. car
// is the id of the car whose lamp the need holds, or empty.
func CommandLine(n Need, car string) string {
	words := []string{"stillbright", "pick"}
	flag := func(name, value string) {
		if value != "" {
			words = append(words, "--"+name, value)
		}
	}
	number := func(name string, value *float64, unit string) {
		if value != nil {
			flag(name, plainText(*value)+unit)
		}
	}
	flag("car", car)
	flag("size", n.Size)
	flag("beam", n.Beam)
	flag("housing", string(n.Housing))
	flag("driving", strings.Join(n.Driving, ","))
	if n.TripMin > 0 {
		flag("trip", plainText(n.TripMin)+"min")
	}
	number("speed", n.SpeedKmh, "km/h")
	flag("climate", string(n.Climate))
	if n.Budget != nil {
		flag("budget", plainText(n.Budget.Amount)+string(n.Budget.Currency))
		flag("per", n.Budget.Per)
	}
	number("rear-clearance", n.RearClearanceMM, "mm")
	number("front-clearance", n.FrontClearanceMM, "mm")
	flag("driver", string(n.Driver))
	if n.Canbus != nil {
		flag("canbus", strconv.FormatBool(*n.Canbus))
	}
	flag("polarity", string(n.Polarity))
	number("volts", n.Volts, "V")
	if n.PlugAndPlay {
		words = append(words, "--plug-and-play")
	}
	number("cct", n.CCTK, "K")
	flag("where", string(n.Where))
	if n.ownWeights {
		flag("weights", "output="+plainText(n.Weights.Output)+",pattern="+plainText(n.Weights.Pattern)+",heat="+plainText(n.Weights.Heat))
	}
	return strings.Join(words, " ")
}

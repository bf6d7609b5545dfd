package road

import (
	"fmt"
	"math"
)

// Constants of the AASHTO stopping sight distance.
const (
	// ReactionTime is 2.5 s [read, TxDOT manual 4.11.1].
	ReactionTime = 2.5
	// DecelerationUS is 11.2 ft/s2 [read, as ReactionTime].
	DecelerationUS = 11.2
	// DecelerationMetric is 3.4 m/s2 [second hand, course sheet citing AASHTO].
	DecelerationMetric = 3.4
	// DecelerationShare is DecelerationUS over gravity, 11.2/32.2; metric 3.4/9.81
	// gives nearly the same. Textbooks round it to 0.35.
	DecelerationShare = DecelerationUS / 32.2
)

// StoppingSource is where the stopping sight distance was read.
const StoppingSource = "AASHTO Green Book, as in TxDOT manual 4.11.1"

// Stopping is a stopping sight distance. All distances share one unit.
type Stopping struct {
	Unit     string  // "ft" or "m"
	Reaction float64 // covered in ReactionTime
	Braking  float64
	Total    float64
	Design   float64 // Total rounded up to the next 5 of the unit, as the tables do
	// OutsideTable is set for a speed outside the published rows (15 to 80 mph, 20
	// to 130 km/h); the formula is then carried beyond them.
	OutsideTable bool
}

// StoppingUS is the stopping sight distance on a level road, in ft:
//
//	SSD = 1.47 V t + 1.075 V^2 / a
//
// V in mph (3 to 155), t = 2.5 s, a = 11.2 ft/s2. It is what a road is designed
// for: an alert driver on a dry road needs less. Source: AASHTO Green Book, formula
// [read, TxDOT manual 4.11.1], table [second hand, Exhibit 3-1].
func StoppingUS(mph float64) (Stopping, error) {
	if err := checkMPH(mph); err != nil {
		return Stopping{}, err
	}
	return stoppingUS(mph, 1.075*mph*mph/DecelerationUS), nil
}

// StoppingMetric is the stopping sight distance on a level road, in m:
//
//	SSD = 0.278 V t + 0.039 V^2 / a
//
// V in km/h (5 to 250), t = 2.5 s, a = 3.4 m/s2. Source: AASHTO Green Book, rows 80
// to 110 km/h [second hand, course sheet], the other design values [from memory].
func StoppingMetric(kmh float64) (Stopping, error) {
	if err := checkKMH(kmh); err != nil {
		return Stopping{}, err
	}
	return stoppingMetric(kmh, 0.039*kmh*kmh/DecelerationMetric), nil
}

func stoppingUS(mph, braking float64) Stopping {
	return stopping("ft", 1.47*mph*ReactionTime, braking, mph < 15 || mph > 80)
}

func stoppingMetric(kmh, braking float64) Stopping {
	return stopping("m", 0.278*kmh*ReactionTime, braking, kmh < 20 || kmh > 130)
}

func stopping(unit string, reaction, braking float64, outside bool) Stopping {
	total := reaction + braking
	return Stopping{
		Unit: unit, Reaction: reaction, Braking: braking, Total: total,
		Design: 5 * math.Ceil(total/5), OutsideTable: outside,
	}
}

func checkMPH(mph float64) error { return within("speed", "mph", mph, 3, 155) }
func checkKMH(kmh float64) error { return within("speed", "km/h", kmh, 5, 250) }

// AgainstStopping words a reach beside the stopping distance at the owner's own
// speed. Reach in m (0 to 2,000), the level it belongs to in lx, speed in km/h (5 to
// 250); imperial prints ft and mph and uses the US formula. The reach is an upper
// bound on seeing, so a reach beyond the stopping distance supports no speed.
func AgainstStopping(reachM, lux, kmh float64, imperial bool) (string, error) {
	err := firstError(within("reach", "m", reachM, 0, DistanceMost), checkLux(lux), checkKMH(kmh))
	if err != nil {
		return "", err
	}
	reach, speed, speedUnit := reachM, kmh, "km/h"
	stop, err := StoppingMetric(kmh)
	if imperial {
		reach, speed, speedUnit = reachM/0.3048, kmh/1.609344, "mph"
		stop, err = StoppingUS(speed)
	}
	if err != nil {
		return "", err
	}
	verdict := "The light ends first."
	if reach >= stop.Total {
		verdict = "A dark object shows later than the line, and later still against oncoming light."
	}
	return fmt.Sprintf("The %s lx line, an upper bound on seeing, lies %.0f %s ahead; stopping from %.0f %s takes %.0f %s by the AASHTO design figures. %s",
		short(lux), math.Floor(reach), stop.Unit, speed, speedUnit, math.Ceil(stop.Total), stop.Unit, verdict), nil
}

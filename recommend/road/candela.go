package road

// Distances from which lux is turned into candela without a reserve, in metres.
const (
	// RegulatorDistanceUS is the shortest photometry distance of 49 CFR 571.108
	// S14.2.5 (60 ft) [second hand].
	RegulatorDistanceUS = 18.3
	// RegulatorDistanceUN is the measuring distance of UN R112 and R149 [read].
	RegulatorDistanceUN = 25.0
)

func checkCandela(candela float64) error {
	return within("intensity", "cd", candela, 0, 1e7)
}

package recommend

import (
	"stillbright/data"
)

// mostCautions is how many cautions are said unasked: more would be a wall of
// text that nobody reads.
const mostCautions = 2

// beamCondition is the condition word of a beam.
func beamCondition(beam string) string {
	switch beam {
	case data.BeamHigh:
		return data.CautionHighBeam
	case data.BeamFog:
		return data.CautionFogBeam
	}
	return data.CautionLowBeam
}

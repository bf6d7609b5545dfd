package beam

import "stillbright/data/known"

// DefaultWeights are those that ship with the program.
func DefaultWeights() Weights { return known.Pattern() }

package main

// started are the programs of the start-up table.
type started struct{ line, linked, version, pick *contestant }

// startUp compares starting with the two baselines: one that no Go program can
// beat, and one that shows what the libraries cost.
func startUp(built programs, folder string, rounds int) (started, error) {
	s := started{
		line:    &contestant{args: []string{built.line}, check: begins("stillbright\n")},
		linked:  &contestant{args: []string{built.linked}, check: silent},
		version: &contestant{args: []string{built.stillbright, "--version"}, check: begins("stillbright ")},
		pick: &contestant{args: []string{built.stillbright, "pick", "--size", "H11", "--housing", "projector", "--driving", "rural,highway", "--trip", "45min"},
			check: begins("Best measured: Ostermoor S22, 1.8 times the light of your halogen after 45 min.\n")},
	}
	return s, compare(folder, 2*rounds, []*contestant{s.line, s.linked, s.version, s.pick})
}

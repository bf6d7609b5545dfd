package data

import (
	"errors"
	"fmt"
)

// ClaimLadder is the file claims.yaml: what lumens at watts are worth, from
// impossible down to ordinary.
type ClaimLadder struct {
	Format int         `yaml:"format" req:"1" min:"1" max:"1" doc:"version of this file format; 1"`
	Rungs  []ClaimRung `yaml:"rungs" req:"1" doc:"rungs, highest first"`
}

// ClaimRung is one rung: a claim belongs to the highest rung it is above.
type ClaimRung struct {
	ID         string  `yaml:"id" req:"1" id:"1" doc:"short name of the rung"`
	Above      float64 `yaml:"above_lm_per_w" req:"1" min:"0" max:"1000" doc:"lm per electrical W that a claim must exceed to stand on this rung"`
	Verdict    string  `yaml:"verdict" req:"1" enum:"impossible|beyond_known|needs_proof|above_ordinary|ordinary|low" doc:"what the claim is worth"`
	Text       string  `yaml:"text" req:"1" doc:"one sentence for people"`
	Source     string  `yaml:"source" req:"1" doc:"where the figure comes from"`
	Confidence string  `yaml:"confidence" req:"1" enum:"read|read_secondary|computed|inferred|memory|common_practice" doc:"how it is known"`
	Why        string  `yaml:"why" req:"1" doc:"one line: why this rung"`
}

// Validate returns an error unless the rungs fall strictly and end at 0, so that
// every claim has exactly one. NaN is refused.
func (l ClaimLadder) Validate() error {
	if len(l.Rungs) == 0 {
		return errors.New("claims: at least one rung is needed")
	}
	for i, rung := range l.Rungs {
		if i > 0 && !(rung.Above < l.Rungs[i-1].Above) {
			return fmt.Errorf("claims: rung %q: %g lm/W must be below the rung before it", rung.ID, rung.Above)
		}
	}
	if last := l.Rungs[len(l.Rungs)-1]; last.Above != 0 {
		return fmt.Errorf("claims: rung %q: the last rung must be above 0 lm/W", last.ID)
	}
	return nil
}

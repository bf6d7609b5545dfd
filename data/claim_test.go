package data

import (
	"math"
	"testing"
)

func TestClaimLadderValidate(t *testing.T) {
	rungs := func(above ...float64) (l ClaimLadder) {
		for _, x := range above {
			l.Rungs = append(l.Rungs, ClaimRung{ID: "r", Above: x})
		}
		return l
	}
	for _, good := range []ClaimLadder{rungs(0), rungs(683, 150, 0)} {
		if err := good.Validate(); err != nil {
			t.Error(err)
		}
	}
	for _, bad := range []ClaimLadder{rungs(), rungs(683), rungs(150, 683, 0), rungs(150, 150, 0), rungs(math.NaN(), 0), rungs(683, math.NaN())} {
		if err := bad.Validate(); err == nil {
			t.Errorf("%+v was taken", bad)
		}
	}
}

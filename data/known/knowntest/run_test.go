package knowntest_test

import (
	"reflect"
	"testing"

	"stillbright/data/known"
	"stillbright/data/known/knowntest"
)

func TestDemoIsACopy(t *testing.T) {
	own := knowntest.Demo()
	if !reflect.DeepEqual(own, known.Demo()) {
		t.Fatal("the copy differs")
	}
	*own.Bulbs[0].Claims.Watts = -1
	own.Bulbs[0].Lots[0].Tests[0].Readings[0].Lux = -1
	if *known.Demo().Bulbs[0].Claims.Watts == -1 || known.Demo().Bulbs[0].Lots[0].Tests[0].Readings[0].Lux == -1 {
		t.Fatal("a change of the copy changes the demo")
	}
}

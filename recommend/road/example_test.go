package road_test

import (
	"fmt"
	"log"
	"math"

	"stillbright/recommend/road"
)

// A plate of 1.2 percent on a wall 10 m away, and what the same dip means on the road.
func ExampleAim() {
	plan, err := road.Aim(road.AimInput{HeightMM: 650, DistanceMM: 10000, Plate: &road.Dip{Value: 1.2, Unit: road.DipPercent}})
	if err != nil {
		log.Fatal(err)
	}
	meets, _, err := road.CutoffDistance(0.65, math.Atan(0.012)*180/math.Pi)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("cutoff %.0f mm below the lamp centre (from the %s)\n", *plan.TargetMM, plan.From)
	fmt.Printf("it meets the road at %.1f m\n", meets)
	// Output:
	// cutoff 120 mm below the lamp centre (from the plate)
	// it meets the road at 54.2 m
}

// Four readings of a beam, in candela, and the reach they give with two lamps.
func ExampleReach() {
	field, err := road.NewPointField([]road.BeamPoint{
		{HDeg: -10, VDeg: 0, Candela: 2000}, {HDeg: 10, VDeg: 0, Candela: 4000},
		{HDeg: -10, VDeg: -4, Candela: 20000}, {HDeg: 10, VDeg: -4, Candela: 40000},
	})
	if err != nil {
		log.Fatal(err)
	}
	result, err := road.Reach(road.ReachInput{
		Field: field, LampHeightM: 0.65, Traffic: road.RightHand, Lamps: 2, Road: road.LaneEdges(), MeasuredAtM: 25,
	})
	if err != nil {
		log.Fatal(err)
	}
	for i, kerb := range result.Kerb {
		fmt.Printf("%g lx: kerb %.1f m, centre %.1f m, sparse %v\n", kerb.Lux, kerb.M, result.Centre[i].M, kerb.Sparse)
	}
	// Output:
	// 1 lx: kerb 83.2 m, centre 79.8 m, sparse true
	// 3.2 lx: kerb 49.8 m, centre 46.5 m, sparse true
	// 5 lx: kerb 41.2 m, centre 38.1 m, sparse true
}

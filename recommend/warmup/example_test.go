package warmup_test

import (
	"fmt"

	"stillbright/recommend/warmup"
)

// Twelve minutes of readings, and what they say of the light after 30.
func ExampleReduce() {
	readings := []warmup.Reading{
		{Min: 0.1, Lux: 1000}, {Min: 1, Lux: 967}, {Min: 2, Lux: 941}, {Min: 3, Lux: 916}, {Min: 4, Lux: 899}, {Min: 5, Lux: 887},
		{Min: 6, Lux: 873}, {Min: 8, Lux: 856}, {Min: 10, Lux: 846}, {Min: 12, Lux: 836},
	}
	f, err := warmup.Reduce(readings, 30, warmup.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%s: %.0f lux (%.0f to %.0f), %.0f %% retained\n", f.Shape, *f.Lux, *f.LuxLow, *f.LuxHigh, *f.RetainedPct)
	stop, _ := f.EnoughToStop(2)
	fmt.Println(stop.Enough)
	fmt.Println(f.Notes[0])
	// Output:
	// one: 824 lux (797 to 829), 82 % retained
	// true
	// a forecast from readings up to 12 min: a later step, as when the driver folds back, cannot be foreseen
}

// A ratio of 1.15 as read, at the reference voltage, with what is not known counted against it.
func ExampleVsStock() {
	volts := 12.8
	r, err := warmup.VsStock(warmup.RatioInput{
		BulbLux: 832, BulbLow: 820, BulbHigh: 844,
		StockLux: []float64{725, 728}, StockVolts: &volts, MeterClass: "B",
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("as read %.2f; at 13.2 V %.2f (%.2f to %.2f); tie %v\n", r.AsRead, r.Mid, r.Low, r.High, r.CrossesStock)
	// Output:
	// as read 1.15; at 13.2 V 1.03 (0.68 to 1.56); tie true
}

package road

import (
	"math"
	"testing"
)

func TestRangeError(t *testing.T) {
	for want, err := range map[string]error{
		"lamp height 3000 mm: must be 200 to 1600 mm": within("lamp height", "mm", 3000, 200, 1600),
		"dip 2.345 deg: must be 0 to 1.25 deg":        within("dip", "deg", 2.3451, 0, 1.25),
		"number of lamps 0: must be 1 to 2":           within("number of lamps", "", 0, 1, 2),
		"intensity 123456 cd: must be 0 to 36917 cd":  within("intensity", "cd", 123456, 0, 36917),
		"intensity NaN cd: must be 0 to 1e+07 cd":     within("intensity", "cd", math.NaN(), 0, 1e7),
		"distance +Inf m: must be 0.1 to 2000 m":      within("distance", "m", math.Inf(1), 0.1, 2000),
	} {
		if err == nil || err.Error() != want {
			t.Errorf("%v, want %q", err, want)
		}
	}
	for _, legal := range []float64{200, 900, 1600} {
		if err := within("lamp height", "mm", legal, 200, 1600); err != nil {
			t.Error(err)
		}
	}
}

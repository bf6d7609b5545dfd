package quantity_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"stillbright/data/quantity"
)

func TestParseReadsWhatPeopleWrite(t *testing.T) {
	tests := []struct {
		text, unit string
		want       float64
	}{
		{"55mm", "mm", 55}, {"5.5cm", "mm", 55}, {"0.055m", "mm", 55}, {"55 MM", "mm", 55}, {"010mm", "mm", 10},
		// 1 in = 25.4 mm and 1 ft = 0.3048 m exactly: NIST SP 811, appendix B.8.
		{"2.25in", "mm", 57.15}, {`2.25"`, "mm", 57.15}, {"2 1/4 in", "mm", 57.15}, {"2-1/4in", "mm", 57.15},
		{"2¼in", "mm", 57.15}, {"2 ¼ in.", "mm", 57.15}, {"½in", "mm", 12.7}, {"¾″", "mm", 19.05}, {"9/4 in", "mm", 57.15},
		{"1/2in", "mm", 12.7}, {".5in", "mm", 12.7}, {"20ft", "m", 6.096}, {"20'", "m", 6.096}, {"20 FT", "ft", 20},
		{"30 minutes", "min", 30}, {"3600 lumens", "lm", 3600}, {"2 1/4 inches", "mm", 57.15},
		{"5 ft 6 in", "mm", 1676.4}, {`5'6"`, "mm", 1676.4}, {"5'6", "in", 66}, {"5′ 6½″", "in", 66.5}, {`5' 6 1/2"`, "in", 66.5},
		{"30min", "min", 30}, {"90s", "min", 1.5}, {"1.5h", "min", 90}, {"1h30", "min", 90}, {"1 h 30 min", "min", 90},
		{"1h 30", "min", 90}, {"1H30MIN", "min", 90}, {"1min30s", "s", 90}, {"1h1min1s", "s", 3661}, {"40ms", "s", 0.04}, {"2 hrs", "min", 120},
		// 1 mi = 1609.344 m exactly.
		{"55mph", "km/h", 88.51392}, {"90km/h", "km/h", 90}, {"90kmh", "km/h", 90}, {"90 kph", "km/h", 90}, {"25m/s", "km/h", 90},
		{"110F", "F", 110}, {"110°F", "F", 110}, {"43C", "C", 43}, {"47 °C", "C", 47}, {"47 ° C", "C", 47}, {"104 deg F", "C", 40},
		{"-40F", "C", -40}, {"-5C", "C", -5}, {"−5 C", "C", -5}, {"212F", "C", 100}, {"32f", "C", 0},
		{"13.5V", "V", 13.5}, {"130mV", "V", 0.13}, {"24W", "W", 24}, {"24 w", "W", 24},
		{"832lx", "lx", 832}, {"832lux", "lx", 832}, {"832 Lux", "lx", 832}, {"1.2klx", "lx", 1200},
		// 1 fc = 1 lm/ft2 = 10.763910 lx: NIST SP 811, appendix B.8.
		{"1fc", "lx", 10.763910416709722},
		{"26.9kcd", "cd", 26900}, {"350cd", "cd", 350}, {"3600lm", "lm", 3600}, {"6000K", "K", 6000}, {"6000k", "K", 6000},
		{"0.57deg", "deg", 0.57}, {"0.57°", "deg", 0.57}, {"1.2%", "%", 1.2}, {"1.2 pct", "%", 1.2},
		// 1 oz = 28.349523125 g exactly (a sixteenth of the pound of 453.59237 g).
		{"85g", "g", 85}, {"3oz", "g", 85.048569375}, {"1 lb 3 oz", "oz", 19}, {"1lb", "g", 453.59237},
		{"4.4A", "A", 4.4}, {"800mA", "A", 0.8}, {"200Hz", "Hz", 200}, {"1.5kHz", "Hz", 1500}, {"6ohm", "ohm", 6}, {"6 Ω", "ohm", 6}, {"0ohm", "ohm", 0},
		{"1e3lx", "lx", 1000}, {"1.5E-1 V", "V", 0.15}, {"+5mm", "mm", 5}, {"0mm", "mm", 0}, {"55\u00a0mm", "mm", 55},
	}
	for _, test := range tests {
		got, err := quantity.Parse(test.text, test.unit)
		if err != nil || got != test.want {
			t.Errorf("Parse(%q, %q) = %v, %v; want %v", test.text, test.unit, got, err, test.want)
		}
	}
}

func TestParseRefusesWithReasonAndHint(t *testing.T) {
	tests := []struct{ text, unit, reason, hint string }{
		{"12,5mm", "mm", "a comma is not a decimal point here", "write 12.5mm"},
		{"1,554lx", "lx", "neither a decimal point nor a thousands mark", "write 1554lx or 1.554lx"},
		{"1,234,567lm", "lm", "does not mark thousands", "write 1234567lm"},
		{"1,200.50lx", "lx", "does not mark thousands", "write 1200.50lx"},
		{"30min", "mm", "this is a time; a length is wanted: mm cm m in ft", "for example 55mm"},
		{"27m", "min", "this is a length; a time is wanted: min s ms h", "write min for minutes"},
		{"110°", "C", "this is an angle; a temperature is wanted: C F", "write C or F"},
		{"320K", "C", "this is a colour temperature; a temperature is wanted: C F", ""},
		{"30 minuts", "min", "unknown unit minuts", "did you mean min?"},
		{"5zz", "mm", "unknown unit zz", "for example 55mm"},
		{"55", "mm", "the unit is missing; a length is wanted: mm cm m in ft", "write 55mm if you mean mm"},
		{"", "mm", "empty", "for example 55mm"}, {"  ", "mm", "empty", ""}, {"mm", "mm", "a number must come first", ""},
		{"about 55mm", "mm", "a number must come first", ""},
		{"-5mm", "mm", "a length cannot be negative", ""}, {"-1W", "W", "a power cannot be negative", ""},
		{"-0.5deg", "deg", "an angle cannot be negative", ""},
		{"NaN", "mm", "not a finite number", ""}, {"inf mm", "mm", "not a finite number", ""}, {"-Infinity", "C", "not a finite number", ""},
		{"0x10mm", "mm", "only decimal numbers", ""}, {"0o17mm", "mm", "only decimal numbers", ""}, {"1_000mm", "mm", "an underscore is not part of a number", "write 1000mm"},
		{"1e400mm", "mm", "too large", ""}, {"1e31mm", "mm", "the exponent must lie between -30 and 30", ""},
		{"1e-400mm", "mm", "the exponent must lie", ""}, {strings.Repeat("9", 400) + "mm", "mm", "too long", ""},
		{"50-55mm", "mm", "a range; one number is wanted", ""}, {"50–55mm", "mm", "a range", ""},
		{"1 554lx", "lx", "two numbers with no unit between them", ""},
		{"1:30", "min", "a colon is not part of a quantity", "1h30"},
		{"1h90", "min", "must be below 60", ""}, {"1.5h30", "min", "only a whole number of h", ""}, {"5 ft 12 in", "mm", "must be below 12", ""},
		{"6 in 5 ft", "mm", "do not go together", ""}, {"2m30", "m", "unknown unit ", ""}, {"1h 1h", "min", "do not go together", ""},
		{"1/0in", "mm", "divides by zero", ""}, {"2 1/0in", "mm", "divides by zero", ""}, {"2 5/4in", "mm", "must be below one", ""},
		{"-274C", "C", "out of range; a temperature lies between -273.15C and 5000C", ""},
		{"-460F", "F", "out of range; a temperature lies between -459.67F", ""},
		{"100K", "K", "out of range; a colour temperature lies between 500K and 100000K", ""},
		{"1e9mm", "mm", "out of range", ""}, {"361deg", "deg", "out of range", ""},
		{"55mm", "furlong", "not a unit of this program", ""},
	}
	for _, test := range tests {
		_, err := quantity.Parse(test.text, test.unit)
		var fault *quantity.Error
		if !errors.As(err, &fault) {
			t.Errorf("Parse(%q, %q) gave no typed error but %v", test.text, test.unit, err)
			continue
		}
		if !strings.Contains(fault.Reason, test.reason) || !strings.Contains(fault.Hint, test.hint) {
			t.Errorf("Parse(%q, %q): reason %q, hint %q; want %q, %q", test.text, test.unit, fault.Reason, fault.Hint, test.reason, test.hint)
		}
		if len(fault.Reason) == 0 || strings.HasSuffix(fault.Error(), ".") {
			t.Errorf("Parse(%q, %q): message %q", test.text, test.unit, fault.Error())
		}
	}
}

func TestErrorTextCarriesTheHint(t *testing.T) {
	_, err := quantity.Parse("12,5mm", "mm")
	want := `"12,5mm": a comma is not a decimal point here; write 12.5mm`
	if err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

func TestBareAndSigned(t *testing.T) {
	if got, err := quantity.ParseBare("010", "mm"); err != nil || got != 10 {
		t.Errorf("bare 010 = %v, %v; want ten", got, err)
	}
	if got, err := quantity.ParseBare("2 1/4", "in"); err != nil || got != 2.25 {
		t.Errorf("bare 2 1/4 = %v, %v", got, err)
	}
	if _, err := quantity.ParseBare("-1", "W"); err == nil {
		t.Error("a negative bare power was read")
	}
}

// 117 °F is 47 °C: a fact of the trade (common practice); exactly (117-32)/1.8 = 47.22.
func TestFahrenheitBody(t *testing.T) {
	got, err := quantity.Parse("117F", "C")
	if err != nil || math.Abs(got-425.0/9) > 1e-12 {
		t.Fatalf("117F = %v C, %v", got, err)
	}
	if text := quantity.Format(got, "C", 2); text != "47C" {
		t.Errorf("117F prints as %s, want 47C", text)
	}
	if text := quantity.Format(got, "C", 3); text != "47.2C" {
		t.Errorf("117F prints as %s, want 47.2C", text)
	}
}

func FuzzParse(f *testing.F) {
	for _, seed := range []string{"55mm", "2 1/4 in", `5'6"`, "1h30", "-40F", "12,5mm", "0x1", "1e5lx", "½in", "2-1/4in", "..5 in .5", "°"} {
		f.Add(seed)
	}
	units := []string{"mm", "in", "ft", "min", "h", "km/h", "mph", "C", "F", "lx", "cd", "lm", "K", "deg", "%", "g", "A", "Hz", "ohm", "V", "W"}
	f.Fuzz(func(t *testing.T, text string) {
		for _, unit := range units {
			value, err := quantity.ParseBare(text, unit)
			if err != nil {
				var fault *quantity.Error
				if !errors.As(err, &fault) || fault.Reason == "" {
					t.Fatalf("%q: no typed error: %v", text, err)
				}
				continue
			}
			if math.IsNaN(value) || math.IsInf(value, 0) {
				t.Fatalf("%q: %v", text, value)
			}
			printed := quantity.Format(value, unit, 0)
			if len(printed) > 60 {
				continue // a denormal written out in full is longer than any quantity
			}
			again, err := quantity.Parse(printed, unit)
			if err != nil || again != value {
				t.Fatalf("%q read as %v, printed %s, read again %v, %v", text, value, printed, again, err)
			}
		}
	})
}

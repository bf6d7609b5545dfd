package sheet_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"stillbright/data"
	"stillbright/data/sheet"
)

func read(text string, o sheet.SeriesOptions) (sheet.Series, error) {
	if o.Name == "" {
		o.Name = "log.csv"
	}
	return sheet.ReadSeries(strings.NewReader(text), o)
}

// TestSameRunInEveryForm: one run of four readings, written as loggers of several
// countries write it, is the same run.
func TestSameRunInEveryForm(t *testing.T) {
	want := []sheet.SeriesReading{{Min: 0, Lux: 1001}, {Min: 0.5, Lux: 985.5}, {Min: 5, Lux: 900.25}, {Min: 27, Lux: 832}}
	for name, text := range map[string]string{
		"bare":                   "0,1001\n0.5,985.5\n5,900.25\n27,832\n",
		"no end of line":         "0,1001\n0.5,985.5\n5,900.25\n27,832",
		"dos lines":              "0,1001\r\n0.5,985.5\r\n5,900.25\r\n27,832\r\n",
		"old mac lines":          "0,1001\r0.5,985.5\r5,900.25\r27,832\r",
		"byte order mark":        "\uFEFF0,1001\n0.5,985.5\n5,900.25\n27,832\n",
		"comments and blanks":    "# bench\n\n0,1001\n% x\n0.5,985.5\n// y\n   \n5,900.25\n,,\n27,832\n",
		"header":                 "minute,lux\n0,1001\n0.5,985.5\n5,900.25\n27,832\n",
		"elapsed_min":            "elapsed_min,lux\n0,1001\n0.5,985.5\n5,900.25\n27,832\n",
		"seconds":                "t [s],E [lx]\n0,1001\n30,985.5\n300,900.25\n1620,832\n",
		"hours":                  "t (h);lx\n0;1001\n0.0083333333333333;985.5\n0.083333333333333;900.25\n0.45;832\n",
		"decimal comma":          "Zeit (min);Beleuchtungsstärke (lx)\n0;1001\n0,5;985,5\n5;900,25\n27;832\n",
		"grouped":                "t [s];E [lx]\n0;1.001,0\n30;985,5\n300;900,25\n1.620;832,0\n",
		"latin 1":                "Zeit (min);Beleuchtungsst\xe4rke (lx)\n0;1001\n0,5;985,5\n5;900,25\n27;832\n",
		"tab":                    "min\tlux\n0\t1001\n0,5\t985,5\n5\t900,25\n27\t832\n",
		"sep line":               "sep=;\nmin;lux\n0;1001\n0,5;985,5\n5;900,25\n27;832\n",
		"quotes":                 "\"t [s]\",\"E, hot spot [lx]\"\n\"0\",\"1,001\"\n\"30\",985.5\n300,\"900.25\"\n1620,832\n",
		"units in cells":         "time,light\n0 min,1001 lx\n30 s,985.5 lx\n5 min,900.25 lx\n27 min,832 lx\n",
		"kilolux":                "t [s],E [klx]\n0,1.001\n30,0.9855\n300,0.90025\n1620,0.832\n",
		"exponent":               "t [s],E [lx]\n0.000E+00,1.001E+03\n3.0E+01,9.855E+02\n3.0e2,9.0025e2\n1.62e3,8.32E+02\n",
		"clock":                  "12:00:05,1001\n12:00:35,985.5\n12:05:05,900.25\n12:27:05,832\n",
		"clock over midnight":    "23:50:00,1001\n23:50:30,985.5\n23:55:00,900.25\n00:17:00,832\n",
		"clock with halves":      "Time;Lux\n11:59:30 AM;1001\n12:00:00 PM;985.5\n12:04:30 PM;900.25\n12:26:30 PM;832\n",
		"rfc 3339":               "2026-03-01T12:00:05Z,1001\n2026-03-01T12:00:35Z,985.5\n2026-03-01T12:05:05Z,900.25\n2026-03-01T12:27:05Z,832\n",
		"rfc 3339 over zones":    "2026-03-01T12:00:05+01:00,1001\n2026-03-01T11:00:35Z,985.5\n2026-03-01T12:05:05+01:00,900.25\n2026-03-01T13:27:05+02:00,832\n",
		"iso with a blank":       "timestamp,lux\n2026-03-01 12:00:05,1001\n2026-03-01 12:00:35,985.5\n2026-03-01 12:05:05,900.25\n2026-03-01 12:27:05,832\n",
		"fractions of a second":  "2026-03-01 12:00:05.250,1001\n2026-03-01 12:00:35.250,985.5\n2026-03-01 12:05:05.250,900.25\n2026-03-01 12:27:05.250,832\n",
		"days with dots":         "Datum;Uhrzeit;lx\n01.03.2026;12:00:05;1001\n01.03.2026;12:00:35;985,5\n01.03.2026;12:05:05;900,25\n01.03.2026;12:27:05;832\n",
		"dots, one column":       "01.03.2026 12:00:05;1001\n01.03.2026 12:00:35;985,5\n01.03.2026 12:05:05;900,25\n01.03.2026 12:27:05;832\n",
		"slashes on one day":     "03/04/2026 12:00:05,1001\n03/04/2026 12:00:35,985.5\n03/04/2026 12:05:05,900.25\n03/04/2026 12:27:05,832\n",
		"slashes, month first":   "03/31/2026 23:50:00,1001\n03/31/2026 23:50:30,985.5\n03/31/2026 23:55:00,900.25\n04/01/2026 00:17:00,832\n",
		"slashes, day first":     "31/03/2026 23:50:00,1001\n31/03/2026 23:50:30,985.5\n31/03/2026 23:55:00,900.25\n01/04/2026 00:17:00,832\n",
		"date and time columns":  "Date,Time,Temp (C),Illuminance (lux)\n2026-03-01,12:00:05,21.0,1001\n2026-03-01,12:00:35,21.1,985.5\n2026-03-01,12:05:05,22,900.25\n2026-03-01,12:27:05,25,832\n",
		"elapsed beside a clock": "No;Time;Elapsed [s];Lux\n1;12:00;0;1001\n2;12:00;30;985,5\n3;12:05;300;900,25\n4;12:27;1620;832\n",
		"minutes and seconds":    "elapsed (mm:ss),lux\n00:00,1001\n00:30,985.5\n05:00,900.25\n27:00,832\n",
		"told by their size":     "00:00,1001\n00:30,985.5\n05:00,900.25\n27:00,832\n",
		"elapsed h:m:s":          "elapsed,lux\n0:00:00,1001\n0:00:30,985.5\n0:05:00,900.25\n0:27:00,832\n",
		"seconds since 1970":     "timestamp,lux\n1772366405,1001\n1772366435,985.5\n1772366705,900.25\n1772368025,832\n",
		"milliseconds":           "timestamp,lux\n1772366405000,1001\n1772366435000,985.5\n1772366705000,900.25\n1772368025000,832\n",
		"lines before a header":  "Logger LX-5;\nSerial;A0042\nTime;Lux\n12:00:05;1001\n12:00:35;985,5\n12:05:05;900,25\n12:27:05;832\n",
		"header twice":           "min,lux\n0,1001\n0.5,985.5\nmin,lux\n5,900.25\n27,832\n",
		"separator at the end":   "min;lux;\n0;1001;\n0,5;985,5;\n5;900,25;\n27;832;\n",
		"a faster logger":        "12:00:05,1000\n12:00:05,1002\n12:00:35,985.5\n12:05:05,900.25\n12:27:05,832\n",
		"unknown heads":          "when,what\n0,1001\n0.5,985.5\n5,900.25\n27,832\n",
		"two bad lines in ten":   "min,lux\n0,1001\n0.5,985.5\noops\n5,900.25\n27,832\n",
		"utf-16":                 utf16("min;lux\n0;1001\n0,5;985,5\n5;900,25\n27;832\n"),
	} {
		s, err := read(text, sheet.SeriesOptions{})
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if len(s.Readings) != len(want) {
			t.Errorf("%s: %d readings: %v", name, len(s.Readings), s.Readings)
			continue
		}
		for i, r := range s.Readings {
			if math.Abs(r.Min-want[i].Min) > 1e-6 || math.Abs(r.Lux-want[i].Lux) > 1e-9*want[i].Lux {
				t.Errorf("%s: reading %d is %v, want %v", name, i+1, r, want[i])
			}
		}
	}
}

func utf16(text string) string {
	b := []byte{0xFF, 0xFE}
	for _, r := range text {
		b = append(b, byte(r), byte(r>>8))
	}
	return string(b)
}

// TestFootCandles: one lumen per square foot is 10.7639104 lx (NIST SP 811, B.8).
func TestFootCandles(t *testing.T) {
	s, err := read("min,fc\n0,100\n27,90\n", sheet.SeriesOptions{})
	if err != nil || math.Abs(s.Readings[0].Lux-1076.39104) > 1e-4 {
		t.Errorf("%v, %v", s.Readings, err)
	}
}

// TestRefused: what is wrong is named with its line, and no reading comes back.
func TestRefused(t *testing.T) {
	for name, c := range map[string]struct {
		text    string
		options sheet.SeriesOptions
		want    []string // "line:col: part of the message"
	}{
		"empty":             {"", sheet.SeriesOptions{}, []string{"1:1: holds no readings"}},
		"header only":       {"min,lux\n", sheet.SeriesOptions{}, []string{"1:1: holds no readings"}},
		"comments only":     {"# a\n# b\n", sheet.SeriesOptions{}, []string{"2:1: holds no readings"}},
		"zero lux":          {"min,lux\n0,1001\n5,0\n27,832\n", sheet.SeriesOptions{}, []string{"3:3: \"0\" lux: light must be above zero"}},
		"negative lux":      {"min,lux\n0,1001\n5,-2\n27,832\n", sheet.SeriesOptions{}, []string{"3:3: \"-2\" lux"}},
		"not finite":        {"min,lux\n0,1001\n5,NaN\n27,inf\n", sheet.SeriesOptions{}, []string{"3:3: \"NaN\" is not a finite", "4:4: \"inf\" is not a finite"}},
		"too large":         {"min,lux\n0,1e300\n5,1e999\n", sheet.SeriesOptions{}, []string{"2:3: \"1e300\": must be", "3:3: \"1e999\" is not a finite"}},
		"out of order":      {"min,lux\n0,1001\n5,900\n3,950\n27,832\n", sheet.SeriesOptions{}, []string{"4:1: 3 min is before line 3 (5 min)"}},
		"one time twice":    {"min,lux\n0,1001\n5,900\n5,905\n27,832\n", sheet.SeriesOptions{}, []string{"4:1: the time of line 3 again"}},
		"negative time":     {"min,lux\n-1,1001\n5,900\n", sheet.SeriesOptions{}, []string{"2:1: -1 min: a time before switch-on"}},
		"clash in cells":    {"time,light\n0 min,1001 lx\n5 min,90 fc\n", sheet.SeriesOptions{}, []string{"3:7: fc clashes with the unit of the lines before, lux"}},
		"clash with header": {"min,lux\n0,1001\n5,0.9 klx\n", sheet.SeriesOptions{}, []string{"3:3: klx clashes"}},
		"two time units":    {"t [s] (min),lux\n0,1001\n5,900\n", sheet.SeriesOptions{}, []string{"1:1: \"t [s] (min)\" names two units, s and min"}},
		"two light units":   {"min,lux (fc)\n0,1001\n5,900\n", sheet.SeriesOptions{}, []string{"1:5: \"lux (fc)\" names two units, lux and fc"}},
		"unit given twice":  {"t [s],lux\n0,1001\n5,900\n", sheet.SeriesOptions{TimeUnit: "min"}, []string{"1:1: \"t [s]\" clashes with the unit given, min"}},
		"another header":    {"min,lux\n0,1001\n1,990\ns,lux\n300,900\n", sheet.SeriesOptions{}, []string{"4:1: a second header that differs from that of line 1"}},
		"two lights":        {"min,lux left,lux right\n0,1,2\n", sheet.SeriesOptions{}, []string{"1:14: 2 columns could be the light"}},
		"no such column":    {"min,lux\n0,1001\n", sheet.SeriesOptions{Column: "E"}, []string{"1:1: there is no column \"E\"; the columns are \"min\", \"lux\""}},
		"no header, three":  {"1,0,1001\n2,5,900\n", sheet.SeriesOptions{}, []string{"1:1: 3 columns and no header"}},
		"decimal commas":    {"0,0,1001,5\n5,0,900,5\n", sheet.SeriesOptions{}, []string{"1:1: 4 columns and no header"}},
		"many bad":          {"min,lux\n0,1001\nx,y\n5,900\nz\n", sheet.SeriesOptions{}, []string{"3:3: \"y\" is not a lux reading", "5:1: 1 columns", "5:1: 2 of 4 lines with data cannot be read; at most one in 5"}},
		"seconds untold":    {"0,1001\n300,900\n1620,832\n", sheet.SeriesOptions{}, []string{"1:1: no unit for the time, and it goes up to 1620"}},
		"day or month":      {"03/04/2026 23:50:00,1001\n03/04/2026 23:55:00,900\n04/04/2026 00:17:00,832\n", sheet.SeriesOptions{}, []string{"1:1: \"03/04/2026 23:50:00\" can be day/month or month/day"}},
		"grouped or not":    {"min;lux\n0;1,001\n5;900\n", sheet.SeriesOptions{}, []string{"2:3: \"1,001\" can be a thousand"}},
		"words":             {"this is no table\nat all\n", sheet.SeriesOptions{}, []string{"1:1: no tab, semicolon or comma"}},
		"binary":            {"PK\x03\x04\x00\x00", sheet.SeriesOptions{}, []string{"1:5: is no text file"}},
		"no time":           {"dusk,1001\ndawn,900\n", sheet.SeriesOptions{}, []string{"2:1: \"dawn\" is not a time; legal are"}},
	} {
		s, err := read(c.text, c.options)
		faults, ok := err.(data.Faults)
		if !ok {
			t.Errorf("%s: no faults but %v, %v", name, s, err)
			continue
		}
		if len(s.Readings) > 0 {
			t.Errorf("%s: %d readings beside the faults", name, len(s.Readings))
		}
		if len(faults) != len(c.want) {
			t.Errorf("%s: %d faults, want %d:\n%v", name, len(faults), len(c.want), faults)
			continue
		}
		for i, fault := range faults {
			got := fmt.Sprintf("%d:%d: %s", fault.Line, fault.Col, fault.Message)
			if !strings.HasPrefix(got, c.want[i]) || fault.File != "log.csv" || fault.Warning {
				t.Errorf("%s: %q, want %q", name, got, c.want[i])
			}
		}
	}
}

// TestFewBadLinesAreSkipped: at most one in five.
func TestFewBadLinesAreSkipped(t *testing.T) {
	good := "0,1001\n1,990\n2,980\n3,970\n"
	s, err := read(good+"lamp flickered,?\n", sheet.SeriesOptions{})
	if err != nil || len(s.Readings) != 4 || len(s.Skipped) != 1 || s.Skipped[0].Line != 5 || !s.Skipped[0].Warning {
		t.Errorf("one in five: %v, %v", s, err)
	}
	if _, err := read(good+"a,?\nb,?\n", sheet.SeriesOptions{}); err == nil {
		t.Error("two in six were skipped")
	}
}

// TestOptions: the unit of bare times, the column, and the time lit at the first line.
func TestOptions(t *testing.T) {
	s, err := read("0,1001\n300,900\n1620,832\n", sheet.SeriesOptions{TimeUnit: "s"})
	if err != nil || s.Readings[2].Min != 27 {
		t.Errorf("seconds: %v, %v", s, err)
	}
	s, err = read("min,lux left,lux right\n0,1001,999\n27,832,830\n", sheet.SeriesOptions{Column: "LUX right"})
	if err != nil || s.Readings[1].Lux != 830 {
		t.Errorf("column: %v, %v", s, err)
	}
	s, err = read("12:00:05,1001\n12:27:05,832\n", sheet.SeriesOptions{FirstMin: 0.25})
	if err != nil || math.Abs(s.Readings[0].Min-0.25) > 1e-9 || math.Abs(s.Readings[1].Min-27.25) > 1e-9 {
		t.Errorf("first: %v, %v", s, err)
	}
}

// FuzzSeries: no input breaks the reader; what it returns keeps its promises, and
// written plainly reads the same.
func FuzzSeries(f *testing.F) {
	for _, text := range []string{
		"min,lux\n0,1001\n27,832\n", "t [s];E [lx]\n0;1.001,5\n30;985,5\n", "12:00:05\t1001\n12:00\t990\n", "01.03.2026 12:00;1001\n02.03.2026 12:00;900\n",
		"sep=;\n\"a\"\"b\";lux\n", "1772366405000,1\n1772366405001,2\n", "23:59:59 PM,1\n0:00,2\n", "Datum;Zeit;Lux\n1.3.26;1:02;5\n", "0 min,5 fc\n1h,6 fc\n", "\xff\xfe0\x00,\x005\x00",
		"0,1e999\n", "-1,5\n", "1e-400,5\n1e400,5\n", "0;1,001\n", "t,e\n0,1\n\n#\n,,\n",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := read(text, sheet.SeriesOptions{})
		if err != nil {
			faults, ok := err.(data.Faults)
			if !ok || len(faults) == 0 || len(s.Readings) > 0 {
				t.Fatalf("%q: %v, %v", text, s, err)
			}
			for _, fault := range faults {
				if fault.Message == "" || fault.File == "" || fault.Line < 0 || fault.Line > strings.Count(text, "\n")+strings.Count(text, "\r")+1 {
					t.Fatalf("%q: fault %+v", text, fault)
				}
			}
			return
		}
		var plain strings.Builder
		for i, r := range s.Readings {
			if !(r.Lux >= 0.001 && r.Lux <= 1e7) || !(r.Min >= 0 && r.Min <= 10000) || r.Line < 1 {
				t.Fatalf("%q: reading %+v", text, r)
			}
			if i > 0 && (r.Min <= s.Readings[i-1].Min || r.Line <= s.Readings[i-1].Line) {
				t.Fatalf("%q: reading %d does not follow: %+v", text, i+1, s.Readings)
			}
			fmt.Fprintf(&plain, "%g,%g\n", r.Min, r.Lux)
		}
		if len(s.Readings) == 0 {
			t.Fatalf("%q: no readings and no fault", text)
		}
		again, err := read("elapsed min,lux\n"+plain.String(), sheet.SeriesOptions{})
		if err != nil || len(again.Readings) != len(s.Readings) {
			t.Fatalf("%q: written as %q: %v", text, plain.String(), err)
		}
		for i, r := range again.Readings {
			if r.Min != s.Readings[i].Min || r.Lux != s.Readings[i].Lux {
				t.Fatalf("%q: %+v reads back as %+v", text, s.Readings[i], r)
			}
		}
	})
}

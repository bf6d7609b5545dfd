package quantity_test

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"stillbright/data/quantity"
)

func TestFormat(t *testing.T) {
	tests := []struct {
		value       float64
		unit        string
		significant int
		want        string
	}{
		{55, "mm", 3, "55mm"}, {57.15, "mm", 3, "57.2mm"}, {57.15, "mm", 0, "57.15mm"}, {1554, "lx", 4, "1554lx"}, {1554, "lx", 2, "1600lx"},
		{0.57, "deg", 3, "0.57deg"}, {1.2, "%", 2, "1.2%"}, {26900, "cd", 3, "26900cd"}, {0, "mm", 3, "0mm"}, {math.Copysign(0, -1), "C", 2, "0C"},
		{-5, "C", 2, "-5C"}, {1e-7, "m", 2, "0.0000001m"}, {1.0000000001, "V", 4, "1V"}, {math.NaN(), "V", 3, "unknown"}, {math.Inf(1), "V", 3, "unknown"},
	}
	for _, test := range tests {
		if got := quantity.Format(test.value, test.unit, test.significant); got != test.want {
			t.Errorf("Format(%v, %q, %d) = %s, want %s", test.value, test.unit, test.significant, got, test.want)
		}
	}
}

// What Format prints, Parse reads back to the digits printed, in every unit.
func TestFormatReadsBack(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	kinds := map[string]bool{}
	for _, unit := range []string{"mm", "min", "km/h", "C", "V", "W", "lx", "cd", "lm", "K", "deg", "%", "g", "A", "Hz", "ohm"} {
		kind, ok := quantity.Kind(unit)
		if !ok || kinds[kind] {
			t.Fatalf("unit %s: kind %q", unit, kind)
		}
		kinds[kind] = true
		for _, name := range quantity.UnitsOf(kind) {
			for range 200 {
				significant := 1 + random.IntN(6)
				value := 600 + 300*random.Float64()
				if kind == "speed" {
					value /= 2
				}
				if kind == "angle" {
					value /= 10
				}
				if kind == "colour temperature" {
					value *= 8
				}
				printed := quantity.Format(value, name, significant)
				again, err := quantity.Parse(printed, name)
				if err != nil {
					t.Fatal(err)
				}
				if quantity.Format(again, name, 0) != printed || math.Abs(again-value) > value*0.6*math.Pow(10, float64(1-significant)) {
					t.Errorf("%v printed %s, read back %v", value, printed, again)
				}
			}
		}
	}
}

func TestConvert(t *testing.T) {
	tests := []struct {
		value    float64
		from, to string
		want     float64
	}{
		{1, "in", "mm", 25.4}, {1, "ft", "m", 0.3048}, {12, "in", "ft", 1}, {1, "mph", "km/h", 1.609344}, {1, "m/s", "km/h", 3.6},
		{1, "lb", "oz", 16}, {100, "C", "F", 212}, {-40, "F", "C", -40}, {1, "fc", "lx", 1 / (0.3048 * 0.3048)}, {60, "min", "h", 1},
	}
	for _, test := range tests {
		got, err := quantity.Convert(test.value, test.from, test.to)
		if err != nil || math.Abs(got-test.want) > 1e-12*math.Abs(test.want) {
			t.Errorf("Convert(%v, %s, %s) = %v, %v; want %v", test.value, test.from, test.to, got, err, test.want)
		}
		back, err := quantity.Convert(got, test.to, test.from)
		if err != nil || math.Abs(back-test.value) > 1e-12*math.Abs(test.value) {
			t.Errorf("back from %s: %v, %v; want %v", test.to, back, err, test.value)
		}
	}
	for _, bad := range []struct {
		value    float64
		from, to string
	}{{1, "mm", "min"}, {1, "furlong", "mm"}, {1, "mm", "furlong"}, {math.NaN(), "mm", "cm"}, {math.Inf(-1), "mm", "mm"}, {math.MaxFloat64, "m", "mm"}} {
		var fault *quantity.Error
		if _, err := quantity.Convert(bad.value, bad.from, bad.to); !errors.As(err, &fault) {
			t.Errorf("Convert(%v, %s, %s) gave %v", bad.value, bad.from, bad.to, err)
		}
	}
}

func TestKindAndUnits(t *testing.T) {
	if kind, ok := quantity.Kind("parsec"); ok || kind != "" {
		t.Errorf("parsec is %q", kind)
	}
	if got := strings.Join(quantity.UnitsOf("length"), " "); got != "mm cm m in ft" {
		t.Errorf("length units: %s", got)
	}
	if got := quantity.UnitsOf("taste"); got == nil || len(got) != 0 {
		t.Errorf("units of an unknown kind: %#v", got)
	}
}

func TestParseMoney(t *testing.T) {
	tests := []struct {
		text    string
		want    quantity.Money
		printed string
	}{
		{"60USD", quantity.Money{Amount: 60, Currency: "USD"}, "60USD"}, {"60 usd", quantity.Money{Amount: 60, Currency: "USD"}, "60USD"},
		{"$60", quantity.Money{Amount: 60, Currency: "USD"}, "60USD"}, {"£45", quantity.Money{Amount: 45, Currency: "GBP"}, "45GBP"},
		{"€99.50", quantity.Money{Amount: 99.5, Currency: "EUR"}, "99.50EUR"}, {"99.50 €", quantity.Money{Amount: 99.5, Currency: "EUR"}, "99.50EUR"},
		{"60", quantity.Money{Amount: 60}, "60"}, {"010", quantity.Money{Amount: 10}, "10"}, {"A$80", quantity.Money{Amount: 80, Currency: "AUD"}, "80AUD"},
		{"c$80", quantity.Money{Amount: 80, Currency: "CAD"}, "80CAD"}, {"NZ$ 80", quantity.Money{Amount: 80, Currency: "NZD"}, "80NZD"},
		{"US$60", quantity.Money{Amount: 60, Currency: "USD"}, "60USD"}, {"$60 CAD", quantity.Money{Amount: 60, Currency: "CAD"}, "60CAD"},
		{"CHF 120", quantity.Money{Amount: 120, Currency: "CHF"}, "120CHF"}, {"0.99gbp", quantity.Money{Amount: 0.99, Currency: "GBP"}, "0.99GBP"},
		{".5 EUR", quantity.Money{Amount: 0.5, Currency: "EUR"}, "0.50EUR"}, {"$60 usd", quantity.Money{Amount: 60, Currency: "USD"}, "60USD"},
	}
	for _, test := range tests {
		got, err := quantity.ParseMoney(test.text)
		if err != nil || got != test.want || got.String() != test.printed {
			t.Errorf("ParseMoney(%q) = %+v %s, %v; want %+v", test.text, got, got, err, test.want)
		}
	}
	for text, reason := range map[string]string{
		"": "an amount is wanted", "USD": "an amount is wanted", "-60USD": "cannot be negative", "$-60": "cannot be negative", "60,50EUR": "not a decimal point",
		"1,200USD": "thousands", "1.234USD": "at most two decimals", "60XYZ": "not a currency", "60mm": "not a currency", "¥6000": "two currencies",
		"60 kr": "several currencies", "£60 USD": "two currencies, GBP and USD", "$60 EUR": "two currencies", "1e3USD": "not a currency", "60.5.5": "not a currency",
		"99999999999USD": "too large", "1_000USD": "underscore", "NaN": "an amount is wanted", "60-80USD": "not a currency",
	} {
		_, err := quantity.ParseMoney(text)
		var fault *quantity.Error
		if !errors.As(err, &fault) || !strings.Contains(fault.Reason, reason) {
			t.Errorf("ParseMoney(%q) gave %v, want %q", text, err, reason)
		}
	}
	if got := (quantity.Money{Amount: math.NaN()}).String(); got != "unknown" {
		t.Errorf("a missing amount prints %s", got)
	}
}

func FuzzParseMoney(f *testing.F) {
	for _, seed := range []string{"60USD", "$60", "€99.50", "A$1", "60 kr", "1,2", ".", "$.5", "60.USD"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		money, err := quantity.ParseMoney(text)
		if err != nil {
			return
		}
		again, err := quantity.ParseMoney(money.String())
		if err != nil || again != money {
			t.Fatalf("%q read as %+v, printed %s, read again %+v, %v", text, money, money, again, err)
		}
	})
}

func ExampleParse() {
	clearance, _ := quantity.Parse("2 1/4 in", "mm")
	fmt.Println(quantity.Format(clearance, "mm", 3))
	_, err := quantity.Parse("30min", "mm")
	fmt.Println(err)
	// Output:
	// 57.2mm
	// "30min": this is a time; a length is wanted: mm cm m in ft; for example 55mm
}

func BenchmarkParse(b *testing.B) {
	for b.Loop() {
		if _, err := quantity.Parse("2 1/4 in", "mm"); err != nil {
			b.Fatal(err)
		}
	}
}

// Laying out the digits gives what reading them back and printing the shortest form
// gives.
func TestFormatLaysOutWhatReadsBack(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 200000 {
		value := (r.Float64() - 0.5) * math.Pow(10, float64(r.IntN(30)-12))
		switch r.IntN(4) {
		case 0:
			value = math.Round(value)
		case 1:
			value = float64(r.IntN(100000)) / 100
		}
		significant := 1 + r.IntN(15)
		want := "0"
		if value != 0 {
			outward := math.Nextafter(value, math.Copysign(math.Inf(1), value))
			rounded, err := strconv.ParseFloat(strconv.FormatFloat(outward, 'e', significant-1, 64), 64)
			if err != nil {
				t.Fatal(err)
			}
			want = strconv.FormatFloat(rounded, 'f', -1, 64)
		}
		if got := quantity.Format(value, "mm", significant); got != want+"mm" {
			t.Fatalf("%v to %d digits: %s, want %s", value, significant, got, want)
		}
	}
}

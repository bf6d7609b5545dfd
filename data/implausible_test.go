package data_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"stillbright/data"
	"stillbright/data/quantity"
)

func ptr[T any](value T) *T { return &value }

// plausible is a catalog in which no rule fires: one rig, one LED bulb, one
// halogen, six tests of each in as many months.
func plausible(t testing.TB) data.Catalog {
	t.Helper()
	rig := data.Rig{ID: "proj", Size: "H11", Beam: "low", Housing: "projector", Distance: ptr(5.0), Origin: "rigs/proj.yaml"}
	led := data.Bulb{ID: "led", Kind: "led", Size: "H11", Price: &quantity.Money{Amount: 60, Currency: "USD"}, Per: "pair", Claims: data.Claims{Watts: ptr(50.0), Per: "pair"}, Supply: data.Supply{Watts: ptr(24.0)}, Origin: "bulbs/led.yaml"}
	halogen := data.Bulb{ID: "halogen", Kind: "halogen", Size: "H11", Price: &quantity.Money{Amount: 9, Currency: "USD"}, Per: "each", Supply: data.Supply{Watts: ptr(55.0)}, Origin: "bulbs/halogen.yaml"}
	for month := 1; month <= 6; month++ {
		test := data.Test{
			Rig: "proj", Date: data.Date(fmt.Sprintf("2026-%02d-10", month)), Volts: ptr(13.2), Ambient: ptr(21.0), Watts: ptr(24.0),
			Stock:    data.StockReading{First: ptr(900 + float64(month)), Last: ptr(898.0), Volts: ptr(13.2)},
			Readings: []data.Reading{{At: 0, Lux: 1200 + float64(month)}, {At: 30, Lux: 1050}},
		}
		led.Lots = append(led.Lots, data.Lot{Name: fmt.Sprint(month), Bought: "2026-01-01", Tests: []data.Test{test}})
		test.Readings, test.Watts = []data.Reading{{At: 0, Lux: 880 + float64(month)}, {At: 30, Lux: 885}}, ptr(56.0)
		halogen.Lots = append(halogen.Lots, data.Lot{Name: fmt.Sprint(month), Tests: []data.Test{test}})
	}
	return data.Catalog{Rigs: []data.Rig{rig}, Bulbs: []data.Bulb{led, halogen}}
}

func implausible(t testing.TB, change func(c *data.Catalog, led, halogen *data.Test)) data.Faults {
	t.Helper()
	c := plausible(t)
	if change != nil {
		change(&c, &c.Bulbs[0].Lots[5].Tests[0], &c.Bulbs[1].Lots[5].Tests[0])
	}
	if faults := c.Validate(knownSizes(t), nil); len(faults) > 0 {
		t.Fatal(faults)
	}
	return c.Implausible(knownSizes(t), data.DefaultCheckRules(), "2026-11-25")
}

func TestNothingIsImplausible(t *testing.T) {
	if faults := implausible(t, nil); len(faults) > 0 {
		t.Errorf("%v", faults)
	}
	if faults := (&data.Catalog{}).Implausible(nil, data.DefaultCheckRules(), ""); len(faults) > 0 {
		t.Errorf("%v", faults)
	}
}

// Each rule fires where it should, there alone, and not just short of it.
func TestImplausible(t *testing.T) {
	type change = func(c *data.Catalog, led, halogen *data.Test)
	for _, test := range []struct {
		name        string
		fires       change
		file, path  string
		says        string
		staysSilent change
	}{
		{
			"hot above cold", func(_ *data.Catalog, led, _ *data.Test) { led.Readings[1].Lux = 1300 }, "led", "lots[5].tests[0].readings[1].lux",
			"1300 lx hot is 8 percent above 1206 lx at switch-on", func(_ *data.Catalog, led, _ *data.Test) { led.Readings[1].Lux = 1206 * 1.029 },
		},
		{
			"a halogen may rise", func(_ *data.Catalog, led, _ *data.Test) { led.Readings[1].Lux = 1206 * 1.031 }, "led", "lots[5].tests[0].readings[1].lux",
			"percent above", func(_ *data.Catalog, _, halogen *data.Test) { halogen.Readings[1].Lux = 1000 },
		},
		{
			"stock off its history", func(_ *data.Catalog, led, _ *data.Test) { led.Stock.First, led.Stock.Last = ptr(1100.0), ptr(1100.0) }, "led", "lots[5].tests[0].stock.first",
			"the halogen gave 1100 lx where 900.8 lx is usual in rig proj (12 tests", func(_ *data.Catalog, led, _ *data.Test) { led.Stock.First, led.Stock.Last = ptr(925.0), ptr(925.0) },
		},
		{
			"stock at other volts", func(_ *data.Catalog, led, _ *data.Test) { led.Stock.Volts = ptr(12.0) }, "led", "lots[5].tests[0].stock.first",
			// (13.2/12)^3.4 = 1.383; 901 lx at 12.0 V is 1246 lx at 13.2 V
			"robust standard deviations off", func(_ *data.Catalog, led, _ *data.Test) {
				led.Stock = data.StockReading{First: ptr(901 / math.Pow(1.1, 3.4)), Volts: ptr(12.0)}
			},
		},
		{
			"watts above the claim", func(_ *data.Catalog, led, _ *data.Test) { led.Watts = ptr(48.0) }, "led", "lots[5].tests[0].watts",
			"48 W is above the 25 W that the pack claims for one of a pair", func(_ *data.Catalog, led, _ *data.Test) { led.Watts = ptr(28.7) },
		},
		{
			"watts of the bulb", func(c *data.Catalog, _, _ *data.Test) { c.Bulbs[0].Supply.Watts = ptr(30.0) }, "led", "supply.watts",
			"30 W is above the 25 W", func(c *data.Catalog, _, _ *data.Test) { c.Bulbs[0].Supply.Watts, c.Bulbs[0].Claims.Per = ptr(57.0), "" },
		},
		{
			// UN R37: H11 takes 62 W at most at 13.2 V
			"watts above the size", func(_ *data.Catalog, _, halogen *data.Test) { halogen.Watts = ptr(100.0) }, "halogen", "lots[5].tests[0].watts",
			"100 W is above the 62 W that is the most of size H11", func(_ *data.Catalog, _, halogen *data.Test) { halogen.Watts = ptr(71.0) },
		},
		{
			"lux against distance", func(c *data.Catalog, _, _ *data.Test) { c.Rigs[0].Distance = ptr(25.0) }, "*", ".stock.first",
			"outside 1000 to 215000 cd: no single headlamp", func(c *data.Catalog, _, _ *data.Test) { c.Rigs[0].Distance = ptr(15.0) },
		},
		{
			"lux against a short distance", func(c *data.Catalog, _, _ *data.Test) { c.Rigs[0].Distance = ptr(1.0) }, "*", ".stock.first",
			"outside 1000 to 215000 cd: a headlamp's hot spot", func(c *data.Catalog, _, _ *data.Test) { c.Rigs[0].Distance = nil },
		},
		{
			// 1206 lx are 112 fc
			"foot-candles for lux", func(_ *data.Catalog, led, _ *data.Test) { led.Readings = []data.Reading{{At: 0, Lux: 112}} }, "led", "lots[5].tests[0].readings[0].lux",
			"112 lx against the halogen's 902 lx is 0.12 times", func(_ *data.Catalog, led, _ *data.Test) { led.Readings = []data.Reading{{At: 0, Lux: 200}} },
		},
		{
			"without a halogen of its own", func(_ *data.Catalog, led, _ *data.Test) {
				led.Stock = data.StockReading{Volts: ptr(13.2)}
				led.Readings = []data.Reading{{At: 0, Lux: 11000}}
			}, "led", "lots[5].tests[0].readings[0].lux",
			"11000 lx against the halogen's usual 900.5 lx is 12 times", func(_ *data.Catalog, led, _ *data.Test) {
				led.Stock = data.StockReading{}
				led.Readings = []data.Reading{{At: 0, Lux: 11000}} // nothing to compare with
			},
		},
		{
			"the same test twice", func(c *data.Catalog, led, _ *data.Test) {
				c.Bulbs[0].Lots[4].Tests = append(c.Bulbs[0].Lots[4].Tests, *led)
			}, "led", "lots[5].tests[0]",
			"the same rig, day and readings stand in bulbs/led.yaml lots[4].tests[1]", func(c *data.Catalog, led, _ *data.Test) {
				again := *led
				again.Readings = []data.Reading{{At: 0, Lux: 1207}, {At: 30, Lux: 1050}}
				c.Bulbs[0].Lots[4].Tests = append(c.Bulbs[0].Lots[4].Tests, again)
			},
		},
		{
			"volts of the halogen", func(_ *data.Catalog, led, _ *data.Test) { led.Stock.Volts = nil }, "led", "lots[5].tests[0].stock",
			"volts are missing", func(_ *data.Catalog, led, _ *data.Test) { led.Stock = data.StockReading{} },
		},
		{
			"volts of the bulb", func(_ *data.Catalog, led, _ *data.Test) { led.Volts = nil }, "led", "lots[5].tests[0].volts",
			"is missing; without it nobody can repeat the test", func(_ *data.Catalog, led, _ *data.Test) { led.Volts, led.Readings = nil, nil },
		},
		{
			"price", func(c *data.Catalog, _, _ *data.Test) { c.Bulbs[0].Price, c.Bulbs[0].Per = nil, "" }, "led", "price", "cannot be held against a budget",
			func(c *data.Catalog, _, _ *data.Test) { c.Bulbs[0].Price = &quantity.Money{Amount: 0, Currency: "USD"} },
		},
		{
			"a cold bench", func(_ *data.Catalog, led, _ *data.Test) { led.Ambient = ptr(4.9) }, "led", "lots[5].tests[0].ambient", "4.9 C is outside 5 to 45 C",
			func(_ *data.Catalog, led, _ *data.Test) { led.Ambient = ptr(5.0) },
		},
		{
			"Fahrenheit for Celsius", func(_ *data.Catalog, led, _ *data.Test) { led.Ambient = ptr(60.0) }, "led", "lots[5].tests[0].ambient", "60 C is outside",
			func(_ *data.Catalog, led, _ *data.Test) { led.Ambient = nil },
		},
		{
			"a test of tomorrow", func(_ *data.Catalog, led, _ *data.Test) { led.Date = "2026-11-26" }, "led", "lots[5].tests[0].date", "2026-11-26 lies in the future; today is 2026-11-25",
			func(_ *data.Catalog, led, _ *data.Test) { led.Date = "2026-11-25" },
		},
		{
			"a purchase of tomorrow", func(c *data.Catalog, led, _ *data.Test) {
				c.Bulbs[0].Lots = append(c.Bulbs[0].Lots, data.Lot{Name: "x", Bought: "2027-01-01"})
			}, "led", "lots[6].bought", "lies in the future",
			func(c *data.Catalog, led, _ *data.Test) {
				c.Bulbs[0].Lots = append(c.Bulbs[0].Lots, data.Lot{Name: "x", Bought: "2026-11-25"})
			},
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			faults := implausible(t, test.fires)
			if len(faults) == 0 {
				t.Fatal("no warning")
			}
			for _, fault := range faults {
				if !fault.Warning || !strings.Contains(fault.File, strings.Trim(test.file, "*")) || !strings.HasSuffix(fault.Path, test.path) || !strings.Contains(fault.Message, test.says) {
					t.Errorf("%s %s: %s; want %s %s: %s", fault.File, fault.Path, fault.Message, test.file, test.path, test.says)
				}
			}
			if test.file != "*" && len(faults) > 1 {
				t.Errorf("%d warnings where one is meant: %v", len(faults), faults)
			}
			if faults := implausible(t, test.staysSilent); len(faults) > 0 {
				t.Errorf("just short of it: %v", faults)
			}
		})
	}
}

// Few tests of a rig say nothing about its history.
func TestStockHistoryNeedsTests(t *testing.T) {
	for _, count := range []int{3, 5} {
		c := plausible(t)
		c.Bulbs = c.Bulbs[:1]
		c.Bulbs[0].Lots = c.Bulbs[0].Lots[:count]
		c.Bulbs[0].Lots[0].Tests[0].Stock.First = ptr(2000.0)
		faults := c.Implausible(knownSizes(t), data.DefaultCheckRules(), "")
		if (len(faults) == 1) != (count == 5) {
			t.Errorf("%d tests: %v", count, faults)
		}
	}
}

// The order of bulbs does not change how many warnings there are, nor which
// bulb has them, but for a test that stands twice.
func TestImplausibleOrder(t *testing.T) {
	c := plausible(t)
	c.Bulbs[0].Lots[2].Tests[0].Stock.First = ptr(3000.0)
	c.Bulbs[1].Lots[1].Tests[0].Ambient = ptr(-3.0)
	one := c.Implausible(knownSizes(t), data.DefaultCheckRules(), "")
	c.Bulbs[0], c.Bulbs[1] = c.Bulbs[1], c.Bulbs[0]
	other := c.Implausible(knownSizes(t), data.DefaultCheckRules(), "")
	one.Sort()
	other.Sort()
	if len(one) != 2 || one.Error() != other.Error() {
		t.Errorf("%v\n%v", one, other)
	}
}

func TestFix(t *testing.T) {
	c := data.Catalog{
		Rigs: []data.Rig{{ID: "r", Size: "9005", Origin: "rigs/r.yaml"}},
		Bulbs: []data.Bulb{
			{ID: "b", Size: "h 11", AlsoFits: []string{"H8", "9006"}, Approval: []data.Approval{{Place: "germany"}, {Place: "UN"}}, Origin: "bulbs/b.yaml"},
			{ID: "c", Size: "no such size", Origin: "bulbs/c.yaml"},
		},
		Cars: []data.Car{{ID: "k", Where: "Virginia", Lamps: []data.Lamp{{Size: "H4"}, {Size: "HB3"}}, Origin: "cars/k.yaml"}, {ID: "l", Where: "Georgia", Origin: "cars/l.yaml"}},
	}
	sizes, places := knownSizes(t), knownPlaces(t)
	got := ""
	for _, fix := range c.Fix(sizes, places) {
		got += fmt.Sprintf("%s %s: %s -> %s (%s)\n", fix.File, fix.Path, fix.From, fix.To, fix.Why)
	}
	// 9005 and 9006 are HB3 and HB4 (UN R37, from memory); Georgia is two places.
	want := `rigs/r.yaml size: 9005 -> HB3 (another name of the same size)
bulbs/b.yaml size: h 11 -> H11 (another name of the same size)
bulbs/b.yaml also_fits[1]: 9006 -> HB4 (another name of the same size)
bulbs/b.yaml approval[0].place: germany -> DE (the code of the same place)
cars/k.yaml where: Virginia -> US-VA (the code of the same place)
`
	if got != want {
		t.Errorf("fixes\n%s\nwant\n%s", got, want)
	}
	if more := c.Fix(sizes, places); len(more) > 0 {
		t.Errorf("a second run still finds %v", more)
	}
}

// A name that carries a remark is not rewritten: the remark would be lost.
func TestFixLeavesRemarks(t *testing.T) {
	tried := 0
	for _, size := range knownSizes(t) {
		names := []string{}
		for _, variant := range size.Variants {
			names = append(names, variant.Name)
		}
		if size.ReadAs != "" {
			names = append(names, size.Category)
		}
		for _, name := range names {
			tried++
			c := data.Catalog{Rigs: []data.Rig{{Size: name}}}
			if fixes := c.Fix(knownSizes(t), nil); len(fixes) > 0 {
				t.Errorf("%s: %v", name, fixes)
			}
		}
	}
	if tried == 0 {
		t.Error("no such name is known; the test says nothing")
	}
}

package known_test

import (
	"os"
	"slices"
	"strings"
	"testing"

	"stillbright/data"
	"stillbright/data/store"
)

// demo reads the invented catalog the way a user's folder is read.
func demo(t *testing.T) (data.Catalog, data.Faults) {
	t.Helper()
	var sizes data.SizeFile
	var places data.PlaceFile
	for name, record := range map[string]any{"yaml/sizes.yaml": &sizes, "yaml/places.yaml": &places} {
		content, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if _, faults := store.Decode(name, content, record); len(faults) > 0 {
			t.Fatal(faults)
		}
	}
	folder, faults := store.Load(os.DirFS("yaml/demo"), "demo", store.Knowledge{Sizes: sizes.Sizes, Places: places.Places})
	return folder.Catalog, faults
}

func TestDemoReadsWithoutFault(t *testing.T) {
	catalog, faults := demo(t)
	for _, fault := range faults.Wrong() {
		t.Error(fault)
	}
	// One price leaves open what it buys, on purpose.
	if len(faults) != 1 || !strings.HasSuffix(faults[0].File, "quennel-max-h11.yaml") || faults[0].Path != "price" {
		t.Errorf("warnings: %v, want one, on the unsaid price of quennel-max-h11", faults)
	}
	if !catalog.Invented || catalog.Name == "" {
		t.Errorf("the demo has to say that it is invented: %q %v", catalog.Name, catalog.Invented)
	}
}

func TestDemoIsLargeEnough(t *testing.T) {
	catalog, _ := demo(t)
	ledOf, kinds, sizes := map[string]int{}, map[string]int{}, map[string]bool{}
	for _, b := range catalog.Bulbs {
		kinds[b.Kind]++
		sizes[b.Size] = true
		if b.Kind == data.KindLED {
			ledOf[b.Size]++
		}
	}
	rigs := map[string]bool{}
	for _, r := range catalog.Rigs {
		rigs[r.Size+" "+r.Beam+" "+r.Housing] = true
	}
	for _, want := range []struct {
		what        string
		have, least int
	}{
		{"LED bulbs", kinds[data.KindLED], 28}, {"halogens", kinds[data.KindHalogen], 6}, {"sizes", len(sizes), 9},
		{"rigs", len(catalog.Rigs), 9}, {"cars", len(catalog.Cars), 12},
		{"H11 LED bulbs", ledOf["H11"], 6}, {"H7 LED bulbs", ledOf["H7"], 6},
	} {
		if want.have < want.least {
			t.Errorf("%s: %d, want at least %d", want.what, want.have, want.least)
		}
	}
	for _, rig := range []string{
		"H11 low projector", "H11 low reflector", "H7 low projector", "H7 low reflector", "H4 both reflector", "HB3 high reflector",
		"HB3 low projector", "HB4 low reflector", "HIR2 low projector", "H8 fog reflector", "H13 both reflector", "H9 high reflector",
	} {
		if !rigs[rig] {
			t.Errorf("no rig %s", rig)
		}
	}
}

func TestDemoCars(t *testing.T) {
	catalog, _ := demo(t)
	has := func(what string, is func(data.Car, data.Lamp) bool) {
		t.Helper()
		if !slices.ContainsFunc(catalog.Cars, func(c data.Car) bool {
			return slices.ContainsFunc(c.Lamps, func(l data.Lamp) bool { return is(c, l) })
		}) {
			t.Errorf("no car: %s", what)
		}
	}
	has("24 V with H7", func(c data.Car, l data.Lamp) bool { return c.Volts != nil && *c.Volts > 24 && l.Size == "H7" })
	has("motorcycle with alternating current", func(c data.Car, l data.Lamp) bool { return c.Cycle && l.Polarity == "ac" && l.Size == "H4" })
	has("ground-switched, both beams", func(_ data.Car, l data.Lamp) bool { return l.Polarity == "ground_switched" && l.Beam == data.BeamBoth })
	has("reversed plug", func(_ data.Car, l data.Lamp) bool { return l.Polarity == "reversed" })
	has("bulb-out warning", func(c data.Car, l data.Lamp) bool { return c.Canbus != nil && *c.Canbus && l.BulbOutA != nil })
	has("discharge lamp", func(_ data.Car, l data.Lamp) bool { return l.Technology == "discharge" && l.Size == "D2S" })
	has("fixed LED modules", func(_ data.Car, l data.Lamp) bool { return l.Technology == "led_module" })
	has("H11 reflector, shallow cap", func(_ data.Car, l data.Lamp) bool {
		return l.Size == "H11" && l.Housing == data.Reflector && l.Rear != nil && *l.Rear < 45
	})
	has("GB, plate 1.2 %", func(c data.Car, l data.Lamp) bool { return c.Where == "GB" && l.Dip != nil && *l.Dip == 1.2 })
	has("US, marked VOR", func(c data.Car, l data.Lamp) bool { return strings.HasPrefix(c.Where, "US") && l.Marking == "VOR" })
	has("Germany", func(c data.Car, _ data.Lamp) bool { return c.Where == "DE" })
	has("low, high and fog of three sizes", func(c data.Car, _ data.Lamp) bool {
		sizes := map[string]bool{}
		for _, l := range c.Lamps {
			sizes[l.Size] = true
		}
		return len(sizes) == 3
	})
	has("next to nothing known", func(c data.Car, l data.Lamp) bool {
		return c.Where == "" && c.Volts == nil && l.Housing == "" && l.Rear == nil
	})
}

package road

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"stillbright/data"
)

func cautions(t *testing.T) []data.Caution {
	t.Helper()
	var file data.Cautions
	known(t, "cautions.yaml", &file)
	if err := file.Validate(); err != nil {
		t.Fatal(err)
	}
	return file.Cautions
}

func ids(list []data.Caution) (out []string) {
	for _, c := range list {
		out = append(out, c.ID)
	}
	return out
}

func TestCautions(t *testing.T) {
	all := cautions(t)
	for _, c := range []struct {
		conditions []string
		most       int
		want       string
	}{
		{[]string{"low_beam", "any_led"}, 9, "glare"},
		{[]string{"low_beam", "any_led", "reflector"}, 9, "glare-reflector"},
		{[]string{"low_beam", "any_led", "reflector", "fitting"}, 2, "glare-reflector re-aim"},
		{[]string{"discharge_lamp", "any_led", "fitting"}, 1, "discharge-voltage"},
		{[]string{"any_led", "snow", "inspection", "insurance"}, 9, "snow inspection insurance"},
		{[]string{"resistor"}, 9, "resistor-heat"},
		{[]string{"external_driver"}, 9, ""}, // only said to someone who fits it
		{[]string{"nonsense"}, 9, ""}, {nil, 9, ""},
		{[]string{"resistor"}, 0, ""}, {[]string{"resistor"}, -1, ""},
	} {
		got := Cautions(all, c.conditions, c.most)
		if got == nil || strings.Join(ids(got), " ") != c.want {
			t.Errorf("%v: %v, want %s", c.conditions, ids(got), c.want)
		}
	}
}

// The order of rows and of conditions changes nothing; each caution can be reached by
// its own conditions, and none is said without one of them.
func TestCautionsProperties(t *testing.T) {
	all := cautions(t)
	rng := rand.New(rand.NewPCG(7, 8))
	shuffled := append([]data.Caution(nil), all...)
	rng.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
	words := data.CautionConditions()
	for range 300 {
		rng.Shuffle(len(words), func(i, j int) { words[i], words[j] = words[j], words[i] })
		some := words[:rng.IntN(len(words)+1)]
		a := Cautions(all, some, 100)
		slices.Reverse(some)
		b := Cautions(shuffled, some, 100)
		if !slices.Equal(ids(a), ids(b)) {
			t.Fatalf("%v against %v", ids(a), ids(b))
		}
		for i := 1; i < len(a); i++ {
			if a[i].Weight > a[i-1].Weight {
				t.Fatalf("%v is not by weight", ids(a))
			}
		}
	}
	for _, c := range all {
		if !slices.Contains(ids(Cautions(all, c.When, 100)), c.ID) {
			t.Errorf("%s is never said", c.ID)
		}
		for i := range c.When {
			without := slices.Delete(slices.Clone(c.When), i, i+1)
			if slices.Contains(ids(Cautions(all, without, 100)), c.ID) {
				t.Errorf("%s is said without %s", c.ID, c.When[i])
			}
		}
		// One or two short sentences, no wall of text.
		if len(c.Text) > 210 || strings.Count(c.Text, ". ") > 2 || strings.Contains(c.Text, "!") {
			t.Errorf("%s is too long (%d): %q", c.ID, len(c.Text), c.Text)
		}
	}
}

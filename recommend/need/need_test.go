package need_test

import (
	"encoding/json"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"

	"stillbright/data/known"
	"stillbright/recommend/need"
)

// typed are values of each fact as they are typed: every legal word, the ends of a
// range, a number with a fraction.
func typed(f need.Fact) []string {
	switch f.Kind {
	case need.OfSize:
		return []string{"H11", "H4"}
	case need.OfCar:
		return nil // it takes the records; TestEveryFactIsAFlag in cli
	case need.OfRoads:
		return append(slices.Clone(f.Words), "rural,rain")
	case need.OfNumber:
		return []string{number(f.Least) + f.Unit, number(f.Least+7.15) + f.Unit, number(f.Most) + f.Unit}
	case need.OfTruth:
		return []string{"true", "false"}
	case need.OfWish:
		return []string{"true"}
	case need.OfMoney:
		return []string{"60USD", "79.5EUR", "60"}
	case need.OfPlace:
		return []string{"GB", "US-VA"}
	case need.OfWeights:
		return []string{"output=0.5,pattern=0.3,heat=0.2"}
	}
	return f.Words
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func legal() need.Known {
	k := need.Known{Places: known.Places()}
	for _, profile := range known.Rules().Driving {
		k.Roads = append(k.Roads, profile.Name)
	}
	return k
}

// TestEveryFactReadsBack: what is typed is what a command writes; a fact that was
// not given is open; a need holds it when copied and when its document is read.
func TestEveryFactReadsBack(t *testing.T) {
	for _, f := range need.Facts() {
		if f.Kind != need.OfCar && len(typed(f)) == 0 {
			t.Errorf("--%s: no value to try", f.Flag)
		}
		for _, text := range typed(f) {
			n := base(f)
			if f.Kind != need.OfSize && f.Slot != need.Beam && !f.Open(n) {
				t.Errorf("--%s is not open before it is given", f.Flag)
			}
			if err := f.Take(&n, text, legal()); err != nil {
				t.Fatalf("--%s %s: %v", f.Flag, text, err)
			}
			if got := f.Text(n); got != text || f.Open(n) {
				t.Errorf("--%s %s is written as %q, open: %v", f.Flag, text, got, f.Open(n))
			}
			other := base(f)
			f.Copy(&other, n)
			if f.Kind != need.OfPer && f.Text(other) != text {
				t.Errorf("--%s %s is copied as %q", f.Flag, text, f.Text(other))
			}
			document, err := json.Marshal(n)
			if err != nil {
				t.Fatal(err)
			}
			var back need.Need
			if err := json.Unmarshal(document, &back); err != nil {
				t.Fatal(err)
			}
			back.OwnWeights, back.Imperial = n.OwnWeights, n.Imperial
			if !reflect.DeepEqual(back, n) {
				t.Errorf("--%s %s: the document reads as %+v, want %+v", f.Flag, text, back, n)
			}
		}
	}
}

// base is a need without the fact, in which the fact can be given.
func base(f need.Fact) need.Need {
	n := need.Need{Size: "H11", Beam: "low"}
	if f.Kind == need.OfPer {
		n.Budget = &need.Budget{Amount: 60, Currency: "USD"}
	}
	return n
}

// TestEveryFactIsSaid: the sentence of a need shows each of its facts. Of a car the
// facts are shown, not the name.
func TestEveryFactIsSaid(t *testing.T) {
	for _, f := range need.Facts() {
		if f.Kind == need.OfCar {
			continue
		}
		seen := map[string]string{}
		for _, text := range typed(f) {
			n := base(f)
			without := need.Sentence(n)
			if err := f.Take(&n, text, legal()); err != nil {
				t.Fatal(err)
			}
			said := need.Sentence(n)
			if f.Kind != need.OfSize && f.Slot != need.Beam && said == without {
				t.Errorf("--%s %s is not said in %q", f.Flag, text, said)
			}
			if again := seen[said]; again != "" {
				t.Errorf("--%s %s and %s are both said %q", f.Flag, text, again, said)
			}
			seen[said] = text
		}
	}
}

// TestEveryFactIsWhole: what a line of the table needs for what it is used for.
func TestEveryFactIsWhole(t *testing.T) {
	turns, ranks, keys := map[int]bool{}, map[int]bool{}, map[string]bool{}
	for _, f := range need.Facts() {
		keys[string(f.Slot)] = true
		if f.Help == "" || f.Flag == "" {
			t.Errorf("%+v: no flag or no help", f)
		}
		if f.Kind == need.OfNumber && (f.Unit == "" || f.Least >= f.Most || f.Noun == "") {
			t.Errorf("--%s: a number with its unit, bounds and noun: %+v", f.Flag, f)
		}
		if (f.Kind == need.OfWord || f.Kind == need.OfRoads || f.Kind == need.OfPer) && len(f.Words) < 2 {
			t.Errorf("--%s: words %v", f.Flag, f.Words)
		}
		for word := range f.Means {
			if !slices.Contains(f.Words, word) && f.Kind != need.OfTruth {
				t.Errorf("--%s: %q means something and is no word of it: %v", f.Flag, word, f.Words)
			}
		}
		if f.Choices != nil && !reflect.DeepEqual(slices.Sorted(slices.Values(f.Choices)), slices.Sorted(slices.Values(f.Words))) {
			t.Errorf("--%s offers %v of %v", f.Flag, f.Choices, f.Words)
		}
		if f.Turn > 0 && (turns[f.Turn] || f.Label == "" || f.Explain == "") {
			t.Errorf("--%s: a question of its own, and how to find out: %+v", f.Flag, f)
		}
		if f.Rank > 0 && (ranks[f.Rank] || f.Ask == "" || f.Slot == "") {
			t.Errorf("--%s: what a reply asks back: %+v", f.Flag, f)
		}
		turns[f.Turn], ranks[f.Rank] = true, true
		sum := 0.0
		for _, answer := range f.Likely {
			sum += answer.Chance
			if n := f.Suppose(need.Need{}, answer.Text); answer.Text != "" && f.Text(n) != answer.Text {
				t.Errorf("--%s: the likely answer %q reads as %q", f.Flag, answer.Text, f.Text(n))
			}
		}
		if f.Likely != nil && (sum < 1-1e-9 || sum > 1+1e-9) {
			t.Errorf("--%s: the likely answers sum to %g", f.Flag, sum)
		}
	}
	of := reflect.TypeFor[need.Need]()
	for i := range of.NumField() {
		if key := of.Field(i).Tag.Get("json"); key != "-" && !keys[key] {
			t.Errorf("%s is in the document and in no line of the table", key)
		}
	}
}

// TestWrongValuesAreRefused: what is out of bounds or no legal word is refused with
// what is legal, and changes nothing.
func TestWrongValuesAreRefused(t *testing.T) {
	for _, f := range need.Facts() {
		wrong := "nonsense"
		says := ""
		switch f.Kind {
		case need.OfCar, need.OfSize:
			continue // held against the records and the sizes
		case need.OfNumber:
			wrong, says = number(2*f.Most)+f.Unit, "must be from"
		case need.OfWord, need.OfPer, need.OfRoads, need.OfTruth, need.OfWish:
			says = "must be"
		}
		n := base(f)
		was := n
		err := f.Take(&n, wrong, legal())
		if err == nil || !strings.Contains(err.Error(), says) || !reflect.DeepEqual(n, was) {
			t.Errorf("--%s %s: %v, and the need is %+v", f.Flag, wrong, err, n)
		}
	}
}

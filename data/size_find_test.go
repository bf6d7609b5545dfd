package data_test

import (
	"slices"
	"strings"
	"testing"

	"stillbright/data"
)

func TestFindSize(t *testing.T) {
	sizes := knownSizes(t)
	tests := []struct{ text, want, how string }{
		{"H11", "H11", "category"}, {"h11", "H11", "category"}, {" h-11 ", "H11", "category"}, {"H 7", "H7", "category"}, {"hir2", "HIR2", "category"},
		{"9005", "HB3", "alias"}, {"9OO5", "HB3", "alias"}, {"9oo6", "HB4", "alias"}, {"hb-3", "HB3", "category"}, {"9012", "HIR2", "alias"}, {"9011", "HIR1", "alias"},
		{"9004", "HB1", "alias"}, {"9007", "HB5", "alias"}, {"9008", "H13", "alias"}, {"9145", "H10", "alias"}, {"2504", "PSX24W", "alias"},
		{"H8B", "H8", "variant"}, {"H9B", "H9", "variant"}, {"H11B", "H11", "variant"}, {"H16B", "H16", "variant"}, {"HB3A", "HB3", "variant"}, {"HB4A", "HB4", "variant"},
		{"H13A", "H13", "variant"}, {"880", "H27W/1", "variant"}, {"881", "H27W/2", "variant"}, {"5202", "PS24W", "variant"}, {"h27w1", "H27W/1", "category"},
		{"9003", "H4", "read_as"}, {"HB2", "H4", "read_as"}, {"hb 2", "H4", "read_as"}, {"9009", "9009", "category"}, {"d2s", "D2S", "category"},
		{"9005/HB3", "HB3", "alias"}, {"HB3 (9005)", "HB3", "category"}, {"H4 / 9003 / HB2", "H4", "category"},
	}
	for _, test := range tests {
		match, near, ok := data.FindSize(sizes, test.text)
		if !ok || match.Size.Category != test.want || match.How != test.how || near != nil {
			t.Errorf("FindSize(%q) = %s by %s, %v, %v; want %s by %s", test.text, match.Size.Category, match.How, near, ok, test.want, test.how)
		}
		if noted := match.How == "variant" || match.How == "read_as"; noted != (match.Note != "") {
			t.Errorf("FindSize(%q): note %q", test.text, match.Note)
		}
	}
	for text, want := range map[string][]string{
		"H77": {"H7", "H17"}, "9055": {"9005"}, "H27W": {"H27W/1", "H27W/2"}, "H9/H11": {"H9", "H11"}, "": {}, "-": {}, "banana bulb": {}, "9500": {},
	} {
		match, near, ok := data.FindSize(sizes, text)
		if ok || match.Size.Category != "" || near == nil || !slices.Equal(near[:min(len(near), len(want))], want) || (len(want) == 0 && len(near) > 0) {
			t.Errorf("FindSize(%q) = %s, near %v; want near %v", text, match.Size.Category, near, want)
		}
	}
	if hb2, ok := data.SizeOf(sizes, "HB2"); !ok || hb2.Category != "HB2" {
		t.Error("HB2 has lost its own record")
	}
}

// One name leads to one record, whatever its spelling.
func TestSizeNamesAreUnique(t *testing.T) {
	seen := map[string]string{}
	for _, size := range knownSizes(t) {
		names := append([]string{size.Category}, size.Aliases...)
		for _, variant := range size.Variants {
			names = append(names, variant.Name)
		}
		for _, name := range names {
			folded := strings.NewReplacer("/", "", "-", "", " ", "").Replace(strings.ToUpper(name))
			if other, taken := seen[folded]; taken {
				t.Errorf("%s and %s share the name %s", other, size.Category, name)
			}
			seen[folded] = size.Category
		}
	}
}

// The order of the records changes no answer.
func TestFindSizeDoesNotDependOnOrder(t *testing.T) {
	sizes := knownSizes(t)
	turned := slices.Clone(sizes)
	slices.Reverse(turned)
	for _, size := range sizes {
		for _, name := range append([]string{size.Category}, size.Aliases...) {
			a, _, okA := data.FindSize(sizes, name)
			b, _, okB := data.FindSize(turned, name)
			if !okA || !okB || a.Size.Category != b.Size.Category || a.How != b.How {
				t.Errorf("%s: %s by %s, reversed %s by %s", name, a.Size.Category, a.How, b.Size.Category, b.How)
			}
		}
	}
}

func TestFunctionOf(t *testing.T) {
	sizes := knownSizes(t)
	for _, test := range []struct {
		category, beam string
		flux           float64
		ok             bool
	}{
		{"H4", "high", 1650, true}, {"H4", "low", 1000, true}, {"H4", "fog", 0, false}, {"H11", "low", 1350, true}, {"H11", "high", 0, false},
		{"H15", "drl", 260, true}, {"H15", "low", 0, false}, {"9009", "low", 0, false}, {"H11", "both", 0, false},
	} {
		size, _ := data.SizeOf(sizes, test.category)
		function, ok := size.FunctionOf(test.beam)
		if ok != test.ok || (ok && *function.FluxLm != test.flux) {
			t.Errorf("%s %s: %+v, %v", test.category, test.beam, function, ok)
		}
	}
}

func FuzzFindSize(f *testing.F) {
	sizes := knownSizes(f)
	for _, seed := range []string{"H11", "9OO5", "H9/H11", "h27w", "(9003)", "\xff", "///"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		match, near, ok := data.FindSize(sizes, text)
		if ok && (match.Size.Category == "" || match.How == "" || near != nil) {
			t.Fatalf("%q: %+v, %v", text, match, near)
		}
		if !ok && match.How != "" {
			t.Fatalf("%q: no match, but %+v", text, match)
		}
		for _, name := range near {
			if _, _, known := data.FindSize(sizes, name); !known {
				t.Fatalf("%q: the near name %q is no size", text, name)
			}
		}
	})
}

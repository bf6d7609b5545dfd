package known_test

import (
	"os"
	"reflect"
	"testing"

	"stillbright/data/known"
	"stillbright/data/known/source"
)

// TestGeneratedIsTheYAML: what the program carries as Go source is what the
// YAML files say. After a change there: go generate ./data/known
func TestGeneratedIsTheYAML(t *testing.T) {
	all, err := source.Read(os.DirFS("yaml"))
	if err != nil {
		t.Fatal(err)
	}
	carried := map[string]any{
		"Sizes": known.Sizes(), "USFigures": known.USFigures(), "Law": known.Law(), "LawNotes": known.LawNotes(), "Places": known.Places(),
		"Rules": known.Rules(), "Fit": known.Fit(), "Pattern": known.Pattern(), "Cautions": known.Cautions(), "Claims": known.Claims(),
		"Aim": known.Aim(), "Limits": known.Limits(), "Replies": known.Replies(), "Markings": known.Markings(), "Words": known.Words(), "Demo": known.Demo(),
	}
	for _, part := range all.Parts() {
		got, ok := carried[part.Name]
		if !ok {
			t.Errorf("%s is in the YAML and not looked at here", part.Name)
			continue
		}
		if !reflect.DeepEqual(got, part.Value) {
			t.Errorf("%s differs from yaml/%s; run: go generate ./data/known", part.Name, part.From)
		}
	}
}

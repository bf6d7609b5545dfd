package store

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"stillbright/data"
)

// files makes a catalog folder in memory.
func files(extra map[string]string) fstest.MapFS {
	texts := map[string]string{
		"catalog.yaml":    "format: 1\nname: n\nsource: s\n",
		"rigs/proj.yaml":  "format: 1\nid: proj\nname: p\nsize: H7\nbeam: low\nhousing: projector\nsource: s\n",
		"bulbs/b-h7.yaml": "format: 1\nid: b-h7\nname: b\nkind: led\nsize: h7\nsource: s\nlots:\n  - lot: a\n    tests:\n      - rig: proj\n        date: 2026-01-02\n",
	}
	for name, text := range extra {
		texts[name] = text
	}
	fsys := fstest.MapFS{}
	for name, text := range texts {
		if text != "" {
			fsys[name] = &fstest.MapFile{Data: []byte(text)}
		}
	}
	return fsys
}

func loaded(t *testing.T, extra map[string]string) (Folder, []string) {
	t.Helper()
	folder, faults := Load(files(extra), "cat", knowledge(t))
	var list []string
	for _, fault := range faults {
		list = append(list, fault.String())
	}
	return folder, list
}

func TestLoad(t *testing.T) {
	folder, faults := loaded(t, map[string]string{
		"bulbs/.b.yaml.12-ab.tmp": "half a rec", "bulbs/.hidden.yaml": "junk", "bulbs/b.yaml~": "junk", "bulbs/notes.txt": "junk", "bulbs/x.yaml.example": "junk", "bulbs/sub/y.yaml": "junk",
		".history/b-20260101T000000Z.yaml": "junk", ".drafts/d.jsonl": "junk",
	})
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	if len(folder.Catalog.Bulbs) != 1 || len(folder.Catalog.Rigs) != 1 || folder.Catalog.Bulbs[0].Origin != "cat/bulbs/b-h7.yaml" || folder.Catalog.Bulbs[0].Size != "H7" {
		t.Errorf("%+v", folder.Catalog)
	}
}

func TestLoadFaults(t *testing.T) {
	for _, test := range []struct {
		name  string
		files map[string]string
		want  []string
	}{
		{"no head", map[string]string{"catalog.yaml": ""}, []string{"cat/catalog.yaml: this file is missing, so the folder is not a catalog"}},
		{"dangling rig", map[string]string{"rigs/proj.yaml": ""}, []string{`cat/bulbs/b-h7.yaml:10:14: lots[0].tests[0].rig: there is no rig "proj"`}},
		{"id and name differ", map[string]string{"bulbs/c.yaml": "format: 1\nid: d\nname: b\nkind: led\nsize: H7\nsource: s\n"}, []string{`cat/bulbs/c.yaml:2:5: id: "d" does not match the file name`}},
		{"loud ending", map[string]string{"bulbs/c.YAML": "x"}, []string{"cat/bulbs/c.YAML: is left out: record files end in .yaml"}},
		{"wrong ending", map[string]string{"bulbs/c.yml": "x"}, []string{"cat/bulbs/c.yml: is left out: record files end in .yaml"}},
		{"unknown size", map[string]string{"cars/c.yaml": "format: 1\nid: c\nname: c\nsource: s\nlamps: [{size: H77, beam: low}]\n"}, []string{`cat/cars/c.yaml:5:16: lamps[0].size: size "H77" is not known`}},
		{"newer catalog", map[string]string{"catalog.yaml": "format: 3\nlayout: new\n"}, []string{"cat/catalog.yaml:1:9: format: 3: made by a newer version of this program; this one reads up to 1"}},
		{"newer record", map[string]string{"rigs/proj.yaml": "id: proj\nformat: 2\nlens: new\n"}, []string{"cat/rigs/proj.yaml:2:9: format: 2: made by a newer version of this program; this one reads up to 1"}},
		{
			"faults of several files, all of them", map[string]string{"bulbs/b-h7.yaml": "format: 1\n", "rigs/proj.yaml": "id: 7_\n"},
			[]string{
				"cat/bulbs/b-h7.yaml:1:1: id: missing", "cat/bulbs/b-h7.yaml:1:1: name: missing", "cat/bulbs/b-h7.yaml:1:1: kind: missing", "cat/bulbs/b-h7.yaml:1:1: size: missing", "cat/bulbs/b-h7.yaml:1:1: source: missing",
				"cat/rigs/proj.yaml:1:1: format: missing", "cat/rigs/proj.yaml:1:1: name: missing", "cat/rigs/proj.yaml:1:1: size: missing", "cat/rigs/proj.yaml:1:1: beam: missing", "cat/rigs/proj.yaml:1:1: housing: missing", "cat/rigs/proj.yaml:1:1: source: missing", `cat/rigs/proj.yaml:1:5: id: "7_" is not a short name`,
			},
		},
		{"rules: unknown key", map[string]string{"rules.yaml": "gate: {stray_lo: {value: 1, why: w}}\n"}, []string{`cat/rules.yaml:1:8: gate: unknown key "stray_lo"`}},
		{"rules: no reason", map[string]string{"rules.yaml": "choice: {trip: {value: 40}}\n"}, []string{"cat/rules.yaml:1:16: choice.trip.why: missing: one line: why this number"}},
		{"rules: half a profile", map[string]string{"rules.yaml": "driving: [{name: city, output: 0.5}]\n"}, []string{"driving[0].dim: missing", "driving[0].enough: missing", "driving[0].pattern: missing", "driving[0].heat: missing", "driving[0].why: missing"}},
		{"words: not a list", map[string]string{"words.yaml": "beams: {low: dipped}\n"}, []string{"cat/words.yaml:1:14: beams.low: a list is wanted here"}},
		{"check: wrong type", map[string]string{"check.yaml": "stock_z: 4\n"}, []string{"cat/check.yaml:1:10: stock_z: a group of keys is wanted here: value why"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			_, faults := loaded(t, test.files)
			if len(faults) != len(test.want) {
				t.Fatalf("faults\n%s\nwant\n%s", strings.Join(faults, "\n"), strings.Join(test.want, "\n"))
			}
			for i, want := range test.want {
				if !strings.Contains(faults[i], want) {
					t.Errorf("fault %q, want %q", faults[i], want)
				}
			}
		})
	}
}

func TestLoadOverrides(t *testing.T) {
	known := knowledge(t)
	known.Words = data.Words{Beams: data.Section{"low": {"dipped"}}}
	folder, faults := Load(files(map[string]string{
		"rules.yaml": "choice:\n  trip: {value: 40, why: my drive}\ndriving:\n  - name: city\n    dim: {value: 0.5, why: w}\n    enough: {value: 2, why: w}\n    output: 1\n    pattern: 0\n    heat: 0\n    why: w\n",
		"words.yaml": "beams:\n  low: [dipped, town lights]\n  high: [country lights]\n",
		"check.yaml": "ambient_low: {value: 10, why: w}\n",
	}), "cat", known)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	want := known.Rules
	want.Choice.TripMin = data.Judged{Value: 40, Why: "my drive"}
	want.Driving = slices.Clone(want.Driving)
	for i, profile := range want.Driving {
		if profile.Name == "city" {
			want.Driving[i] = data.Profile{Name: "city", Dim: data.Judged{Value: 0.5, Why: "w"}, Enough: data.Judged{Value: 2, Why: "w"}, Output: 1, Why: "w"}
		}
	}
	got, _ := Encode(folder.Rules)
	if text, _ := Encode(want); string(got) != string(text) {
		t.Errorf("rules are\n%s", got)
	}
	if before, _ := Encode(known.Rules); strings.Contains(string(before), "my drive") {
		t.Error("the rules given were changed")
	}
	if !slices.Equal(folder.Words.Beams["low"], []string{"dipped", "town lights"}) || len(folder.Words.Beams["high"]) != 1 {
		t.Errorf("words %v", folder.Words.Beams)
	}
	if folder.Check.AmbientLow.Value != 10 || folder.Check.AmbientHigh != data.DefaultCheckRules().AmbientHigh {
		t.Errorf("check rules %+v", folder.Check)
	}
}

func TestLoadAWrongFolder(t *testing.T) {
	_, faults := Load(os.DirFS(filepath.Join(t.TempDir(), "none")), "none", knowledge(t))
	if len(faults) != 1 || faults[0].Message != "this file is missing, so the folder is not a catalog" || faults[0].Hint != "make one with: stillbright catalog start none" {
		t.Errorf("%v", faults)
	}
	if _, faults := loaded(t, map[string]string{"bulbs": "a file"}); len(faults) == 0 {
		t.Error("a file called bulbs was taken for a folder")
	}
}

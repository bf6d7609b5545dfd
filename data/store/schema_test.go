package store

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"gopkg.in/yaml.v3"

	"stillbright/data"
)

// fileSchema compiles the schema that ships for a kind of file.
func fileSchema(t testing.TB, name string) *jsonschema.Schema {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "known", "schema", "yaml-"+name+"-1.json"))
	if err != nil {
		t.Fatal(err)
	}
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	compiler := jsonschema.NewCompiler()
	if err := compiler.AddResource(name, document); err != nil {
		t.Fatal(err)
	}
	schema, err := compiler.Compile(name)
	if err != nil {
		t.Fatal(err)
	}
	return schema
}

// asEditor turns YAML into what an editor checks: the types of the YAML 1.2 core
// schema, in which a date is text.
func asEditor(node *yaml.Node) any {
	switch node.Kind {
	case yaml.DocumentNode:
		return asEditor(node.Content[0])
	case yaml.MappingNode:
		group := map[string]any{}
		for i := 0; i+1 < len(node.Content); i += 2 {
			group[node.Content[i].Value] = asEditor(node.Content[i+1])
		}
		return group
	case yaml.SequenceNode:
		list := []any{}
		for _, item := range node.Content {
			list = append(list, asEditor(item))
		}
		return list
	}
	switch node.Tag {
	case "!!null":
		return nil
	case "!!bool":
		return node.Value == "true"
	case "!!int", "!!float":
		var value float64
		if node.Decode(&value) == nil {
			return json.Number(fmt.Sprint(value))
		}
	}
	return node.Value
}

func editorAccepts(schema *jsonschema.Schema, content []byte) error {
	var node yaml.Node
	if err := yaml.Unmarshal(content, &node); err != nil || len(node.Content) == 0 {
		return fmt.Errorf("no YAML: %v", err)
	}
	return schema.Validate(asEditor(&node))
}

// TestSchemasAcceptWhatShips: the demo, the examples of catalog start and what
// the program knows pass the schemas that editors check them by.
func TestSchemasAcceptWhatShips(t *testing.T) {
	known := filepath.Join("..", "known", "yaml")
	files := map[string]string{filepath.Join(known, "rules.yaml"): "rules", filepath.Join(known, "demo", "catalog.yaml"): "catalog"}
	folder := started(t)
	for _, root := range []string{filepath.Join(known, "demo"), folder} {
		err := filepath.WalkDir(root, func(path string, entry fs.DirEntry, err error) error {
			if kind := strings.TrimSuffix(filepath.Base(filepath.Dir(path)), "s"); err == nil && !entry.IsDir() && (kind == "bulb" || kind == "rig" || kind == "car") {
				files[path] = kind
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	words, err := filepath.Glob(filepath.Join(known, "words_*.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range words {
		files[file] = "words"
	}
	for _, name := range []string{"rules", "words", "check"} {
		files[filepath.Join(folder, name+".yaml.example")] = name
	}
	files[filepath.Join(folder, "catalog.yaml")] = "catalog"
	seen := map[string]int{}
	schemas := map[string]*jsonschema.Schema{}
	for file, name := range files {
		if schemas[name] == nil {
			schemas[name] = fileSchema(t, name)
		}
		content, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		seen[name]++
		if err := editorAccepts(schemas[name], content); err != nil {
			t.Errorf("%s: %v", file, err)
		}
	}
	for name, least := range map[string]int{"bulb": 30, "rig": 10, "car": 10, "rules": 2, "words": 5, "check": 1, "catalog": 2} {
		if seen[name] < least {
			t.Errorf("only %d files of kind %s were looked at", seen[name], name)
		}
	}
}

// TestSchemasAcceptWhatIsRead: a record with any legal values, written by the
// program, passes.
func TestSchemasAcceptWhatIsRead(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 9))
	for name, made := range map[string]func() any{
		"bulb": func() any { return record[data.Bulb](rng, 0.3) }, "rig": func() any { return record[data.Rig](rng, 0.3) },
		"car": func() any { return record[data.Car](rng, 0.3) }, "words": func() any { return record[data.Words](rng, 0.3) },
		"rules": func() any { return record[data.Rules](rng, 0.3) }, "check": func() any { return record[data.CheckRules](rng, 0.3) },
	} {
		schema := fileSchema(t, name)
		for range 60 {
			content, err := Encode(made())
			if err != nil {
				t.Fatal(err)
			}
			if err := editorAccepts(schema, content); err != nil {
				t.Fatalf("%s: %v\n%s", name, err, content)
			}
		}
	}
}

// TestSchemasAcceptEveryUnit: each way to write a quantity that the reader
// takes passes, and what it refuses is refused.
func TestSchemasAcceptEveryUnit(t *testing.T) {
	schema := fileSchema(t, "rig")
	const rig = "format: 1\nid: r\nname: R\nsize: H11\nbeam: low\nhousing: projector\nsource: s\ndistance: "
	for _, text := range []string{"7.62m", "25ft", "25 ft", "7620mm", `"25'"`, `"300\""`, "25 feet", "5ft 6in", `"5'6"`, `"1 1/2 m"`, "½ m", "10 METRES", "10 m.", "10", "10kg", "10 lm", "m", "ten m", "10 min", "[10m]", "10 cd", "7,62m"} {
		content := []byte(rig + text + "\n")
		var into data.Rig
		_, faults := Decode("r.yaml", content, &into)
		err := editorAccepts(schema, content)
		if len(faults) == 0 && err != nil {
			t.Errorf("%s is read, and the schema refuses it: %v", text, err)
		}
		if len(faults) > 0 && err == nil && text != "7,62m" { // a comma is beyond a pattern
			t.Errorf("%s is a fault (%v), and the schema takes it", text, faults)
		}
	}
}

// TestSchemasRefuseFaults: what the reader refuses and a schema can express, the
// schema refuses too.
func TestSchemasRefuseFaults(t *testing.T) {
	const bulb = "format: 1\nid: b\nname: B\nkind: led\nsize: H11\nprice: 60USD\nper: pair\nsource: own bench\nlots:\n" +
		"  - lot: l\n    bought: 2026-03-02\n    tests:\n      - rig: r\n        date: 2026-03-14\n        volts: 13.2\n        stock: {first: 700}\n" +
		"        readings:\n          - {at: 0min, lux: 1001}\n          - {at: 30min, lux: 832}\n"
	schema := fileSchema(t, "bulb")
	var clean data.Bulb
	if _, faults := Decode("b.yaml", []byte(bulb), &clean); len(faults) > 0 {
		t.Fatal(faults)
	}
	if err := editorAccepts(schema, []byte(bulb)); err != nil {
		t.Fatal(err)
	}
	for _, c := range [][2]string{
		{"name: B\n", ""}, {"id: b\n", ""}, {"source: own bench\n", ""}, {"kind: led", "kind: lamp"}, {"kind: led", "kind: LED"},
		{"id: b", "id: B 1"}, {"id: b", "id: -b"}, {"format: 1", "format: 2"}, {"format: 1", "format: one"}, {"format: 1", "format: 1.5"},
		{"name: B", "nmae: B"}, {"name: B", "name: B\ncolour: blue"}, {"name: B", "name:"}, {"name: B", "name: ~"}, {"name: B", "name: [B]"}, {"name: B", "name: ' '"},
		{"price: 60USD", "price: dear"}, {"per: pair", "per: both"}, {"bought: 2026-03-02", "bought: 2.3.2026"}, {"bought: 2026-03-02", "bought: 2026-3-2"},
		{"at: 0min", "at: 0"}, {"at: 0min", "at: 0kg"}, {"at: 0min", "at: soon"}, {"lux: 1001", "lux: bright"}, {"lux: 1001", "lux: -5"}, {"lux: 1001", "lux: 2e9"},
		{"lux: 1001", "lux: 1001W"}, {"volts: 13.2", "volts: 1"}, {"volts: 13.2", "volts: [13.2]"}, {"stock: {first: 700}", "stock: 700"}, {"stock: {first: 700}", "stock: {frist: 700}"},
		{"{at: 30min, lux: 832}", "{at: 30min}"}, {"{at: 30min, lux: 832}", "832"}, {"      - rig: r\n        date", "      - date"},
	} {
		content := []byte(strings.Replace(bulb, c[0], c[1], 1))
		if string(content) == bulb {
			t.Fatalf("%q does not stand in the record", c[0])
		}
		var into data.Bulb
		_, faults := Decode("b.yaml", content, &into)
		if len(faults) == 0 {
			t.Errorf("%q for %q is no fault", c[1], c[0])
		}
		if err := editorAccepts(schema, content); err == nil {
			t.Errorf("%q for %q: the reader says %v, the schema takes it", c[1], c[0], faults)
		}
	}
}

package cli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/urfave/cli/v2"
	"gopkg.in/yaml.v3"

	"stillbright/data/known"
	"stillbright/recommend/cli/wrong"
)

func compiled(name string) (*jsonschema.Schema, error) {
	text, ok := known.Schema(name)
	if !ok {
		return nil, fmt.Errorf("no schema %q ships with the program", name)
	}
	document, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		return nil, err
	}
	compiler := jsonschema.NewCompiler()
	if err := compiler.AddResource(name, document); err != nil {
		return nil, err
	}
	return compiler.Compile(name)
}

// validDocument checks one document against the schema that it names itself, and
// returns the schema's short name.
func validDocument(text []byte) (string, error) {
	var head struct{ Schema string }
	if err := json.Unmarshal(text, &head); err != nil {
		return "", fmt.Errorf("not one JSON document: %w", err)
	}
	if !bytes.HasPrefix(bytes.TrimLeft(text, "{ \n"), []byte(`"schema"`)) {
		return "", fmt.Errorf("the first key is not schema")
	}
	name := strings.ReplaceAll(strings.TrimPrefix(head.Schema, "stillbright/"), "/", "-")
	schema, err := compiled(name)
	if err != nil {
		return "", err
	}
	instance, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		return "", err
	}
	return name, schema.Validate(instance)
}

// TestEveryDocumentValidates: each verb that has --json prints one document that
// its schema accepts, when it is done, when nothing suits and when it fails; and
// each schema that ships is of a document that some verb prints.
func TestEveryDocumentValidates(t *testing.T) {
	folder := exampleFolder(t)
	in := func(name string) string { return filepath.Join(folder, name) }
	write(t, in("tests-bad.csv"), "Bulb,Size,Housing,Date,Stock lux,Lux 0 min,Lux 30 min\nTallow,HX9,projector,2026-02-04,700,1001,880\n")
	write(t, in("questions.jsonl"), `{"q":"is led legal in my headlights in the uk"}`+"\n{broken\n")
	if err := os.MkdirAll(in("broken/bulbs"), 0o755); err != nil {
		t.Fatal(err)
	}
	write(t, in("broken/catalog.yaml"), "format: 1\nnmae: x\n")
	write(t, in("readings-none.csv"), "minutes,lux\n")
	seen, verbs := map[string]int{}, map[string]int{}
	for _, c := range []struct {
		line string // words with blanks; @x is a file of the folder
		code int
	}{
		{"--version", 0},
		{"pick --size H11 --housing projector --driving rural --where US-VA --budget 60USD", 0},
		{"pick --size H11 --housing projector --driving rural --weights output=0.2,pattern=0.6,heat=0.2 --top 2", 0},
		{"pick --car oskel-hatch", 0},
		{"pick --size H15 --beam both", 2},
		{"pick --size H1", 3},
		{"pick --size D2S", 2},
		{"pick", 2},
		{"pick --size H99", 2},
		{"pick --size H11 --catalog @broken", 4},
		{"pick --size H11 --catalog @nowhere", 2},
		{"pick --size H11 --nonsense", 2},
		{"pick --size", 2},
		{"fit ostermoor-s22-h11 --car oskel-hatch", 3},
		{"fit caldry-basic-h11 --size H11", 0},
		{"fit no-such-bulb", 2},
		{"fit", 2},
		{"compare ostermoor-s22-h11 caldry-basic-h11 --housing projector", 0},
		{"compare ostermoor-s22-h11", 2},
		{"show ostermoor-s22-h11", 0},
		{"show grenholt-plain-h11 --trip 50min", 0},
		{"show x", 2},
		{"size", 0},
		{"size 9005", 0},
		{"size HCR E2", 0},
		{"size HX9", 2},
		{"law DE", 0},
		{"law US-VA --beam low", 0},
		{"law KP", 0},
		{"law Nowhereland", 2},
		{"law", 2},
		{"aim", 0},
		{"aim --marking VOL --distance 25ft", 0},
		{"aim --height 650mm --dip 1.2% --where GB --load full", 0},
		{"aim --car oskel-hatch --beam low", 0},
		{"aim --distance 3kg", 2},
		{"reply whats_a_good_h11_for_my_projector_lows", 0},
		{"reply will_it_rain_tomorrow", 0},
		{"reply", 2},
		{"reply --from @questions.csv --to @answers.csv", 0},
		{"reply --from @questions.jsonl --tally", 0},
		{"reply --from @none.csv", 2},
		{"bench reduce @logger.csv --stock 700 --volts 13.2 --stock-volts 13.2", 0},
		{"bench reduce @readings-none.csv", 4},
		{"bench reduce @none.csv", 2},
		{"bench add caldry-basic-h11 --catalog @bench --rig h11-projector --lot 2026-09 --date 2026-09-10 --stock 700 --reading 5s=1001 --reading 30min=832 --yes", 0},
		{"bench add --catalog @bench", 2},
		{"bench run caldry-basic-h11 --catalog @bench --rig h11-projector --lot 2026-10 --stock 700 < @readings.csv", 0},
		{"bench run caldry-basic-h11 --catalog @bench --rig h11-projector", 2},
		{"pattern --grid @led.csv --stock-grid @halogen.csv --distance 10m --limits un-r112-b", 0},
		{"pattern --photo @led.png --stock-photo @halogen.png --px-per-deg 40 --axis 375,180", 0},
		{"pattern --grade cutoff=2,hot_spot=3,stray=2,dark=3,width=2", 0},
		{"pattern --grid @questions.csv", 4},
		{"pattern --limits --json", 0},
		{"pattern", 2},
		{"car list", 0},
		{"car show oskel-hatch", 0},
		{"car show no-car", 2},
		{"catalog list --size H11", 0},
		{"catalog check --catalog @bench", 0},
		{"catalog check --catalog @broken", 4},
		{"catalog import @tests.csv --catalog @bench --dry-run", 0},
		{"catalog import @tests.csv --catalog @bench --save-map @map.yaml", 0},
		{"catalog import @tests-bad.csv --catalog @bench", 4},
		{"catalog import @none.csv --catalog @bench", 2},
		{"catalog nonsense", 2},
		{"nonsense", 2},
	} {
		var input string
		line, from, _ := strings.Cut(c.line, " < ")
		if from != "" {
			content, err := os.ReadFile(in(strings.TrimPrefix(from, "@")))
			if err != nil {
				t.Fatal(err)
			}
			input = string(content)
		}
		words := strings.Split(line, " ")
		for i, word := range words {
			if name, ok := strings.CutPrefix(word, "@"); ok {
				words[i] = in(name)
			}
			if strings.HasPrefix(line, "reply") {
				words[i] = strings.ReplaceAll(words[i], "_", " ")
			}
		}
		env, out := completer(t)
		env.In = strings.NewReader(input)
		code := env.Run(t.Context(), append([]string{"stillbright", "--json"}, words...))
		name, err := validDocument(out.Bytes())
		if err != nil {
			t.Errorf("%s: %v\n%.600s", c.line, err, out.String())
			continue
		}
		if code != c.code {
			t.Errorf("%s: exit code %d, want %d\n%.300s", c.line, code, c.code, out.String())
		}
		if (name == "error-1") != (code != wrong.ExitDone && code != wrong.ExitNothing && !strings.HasPrefix(c.line, "catalog check") && !strings.HasPrefix(c.line, "catalog import @tests-bad")) {
			t.Errorf("%s: exit code %d with %s", c.line, code, name)
		}
		seen[name]++
		verbs[strings.Join(readCommandLine(env.commands(), words).verbs, " ")]++
	}

	env, out := completer(t)
	if code := env.Run(t.Context(), []string{"stillbright", "catalog", "export", in("all.json"), "--catalog", in("bench")}); code != wrong.ExitDone {
		t.Fatalf("export: exit code %d, %s", code, out)
	}
	exported, err := os.ReadFile(in("all.json"))
	if err != nil {
		t.Fatal(err)
	}
	name, err := validDocument(exported)
	if err != nil {
		t.Errorf("export: %v", err)
	}
	seen[name]++

	for _, name := range known.SchemaNames() {
		if seen[name] == 0 {
			t.Errorf("no document of schema %s was seen", name)
		}
	}
	eachVerb(env, func(path string, command *cli.Command) {
		if hasFlag(command, "json") && verbs[path] == 0 {
			t.Errorf("%s --json was not tried", path)
		}
	})

	// The map of the columns is a file a person edits.
	content, err := os.ReadFile(in("map.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	var value any
	if err := yaml.Unmarshal(content, &value); err != nil {
		t.Fatal(err)
	}
	schema, err := compiled("yaml-columns-1")
	if err != nil {
		t.Fatal(err)
	}
	text, err := json.Marshal(value)
	if err != nil {
		t.Fatal(err)
	}
	instance, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	if err := schema.Validate(instance); err != nil {
		t.Errorf("map.yaml: %v\n%s", err, content)
	}
	if slices.Contains(known.SchemaNames(), "yaml-columns-1") {
		t.Error("the schema of a file is listed among those of documents")
	}
}

package store

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"reflect"
	"slices"
	"strings"

	"stillbright/data"
)

// Start lays out a catalog in a folder: catalog.yaml with its name, the folders
// bulbs, rigs and cars, and examples with every key explained. Examples end in
// .yaml.example, so that they are no records. The folder is made when it is not
// there. In a folder that is a catalog already only what is missing is added;
// nothing is ever overwritten. It fails in a folder that holds other things
// (files whose name begins with a dot do not count). schemas are the JSON Schemas
// of the files by their short names (bulb, rig); an editor finds them by the
// first line of each example. The files it made are returned as the user knows
// them.
func Start(folder, name string, schemas map[string][]byte) ([]string, error) {
	catalogHead, err := headText(name)
	if err != nil {
		return nil, err
	}
	if err := makeFolders(folder); err != nil {
		return nil, failure(folder, err)
	}
	if err := mayStart(folder); err != nil {
		return nil, err
	}
	root, err := os.OpenRoot(folder)
	if err != nil {
		return nil, failure(folder, err)
	}
	defer root.Close()
	d := disk{root: root, label: folder}
	var made []string
	// catalog.yaml comes first: with it, a start that was cut short can be repeated.
	for _, f := range slices.Concat([]startFile{{HeadFile, catalogHead}}, startFiles(), schemaFiles(schemas)) {
		if dir := path.Dir(f.name); dir != "." {
			if err := d.folder(dir); err != nil {
				return made, err
			}
		}
		if _, err := root.Lstat(f.name); err == nil {
			continue
		} else if !errors.Is(err, fs.ErrNotExist) {
			return made, failure(d.name(f.name), err)
		}
		if err := d.create(f.name, []byte(f.text), 0); err != nil {
			return made, err
		}
		made = append(made, d.name(f.name))
	}
	return made, nil
}

// makeFolders makes a folder and the parents it lacks, each of them lasting.
func makeFolders(folder string) error {
	if _, err := os.Stat(folder); err == nil || filepath.Dir(folder) == folder {
		return os.MkdirAll(folder, 0o777)
	}
	up := filepath.Dir(folder)
	if err := makeFolders(up); err != nil {
		return err
	}
	if err := os.Mkdir(folder, 0o777); err != nil && !errors.Is(err, fs.ErrExist) {
		return err
	}
	root, err := os.OpenRoot(up)
	if err != nil {
		return err
	}
	defer root.Close()
	return disk{root: root, label: up}.syncFolder(".")
}

// mayStart refuses a folder that holds other things than a catalog.
func mayStart(folder string) error {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return failure(folder, err)
	}
	other := ""
	for _, entry := range entries {
		if entry.Name() == HeadFile {
			return nil
		}
		if !strings.HasPrefix(entry.Name(), ".") {
			other = entry.Name()
		}
	}
	if other != "" {
		return &Failure{File: folder, Message: fmt.Sprintf("is not empty and is no catalog; it holds %s", clip(other, 60)), Hint: "name a new folder"}
	}
	return nil
}

func headText(name string) (string, error) {
	head := data.CatalogHead{Format: currentFormat, Name: name, Source: "own bench"}
	if _, err := Encode(head); err != nil {
		return "", err
	}
	return modeline(HeadFile) + "# The head of a catalog. Bulbs, rigs and cars stand in folders of their own, one file each;\n" +
		"# the .example files explain every key. Copy one to ID.yaml and change it.\n" +
		"format: 1\n# printed with every answer\nname: " + quoteText(name, false) +
		"\n# true for made-up data; every answer then says so\ninvented: false\n# whose bench this is\nsource: own bench\n", nil
}

type startFile struct{ name, text string }

// SchemaDir holds the JSON Schemas of the files, for editors.
const SchemaDir = ".schema"

func schemaFiles(schemas map[string][]byte) []startFile {
	var files []startFile
	for _, name := range slices.Sorted(maps.Keys(schemas)) {
		files = append(files, startFile{SchemaDir + "/" + name + ".json", string(schemas[name])})
	}
	return files
}

// modeline is the first line of a file, by which an editor finds its schema.
func modeline(file string) string {
	up, name := "", strings.TrimSuffix(file, ".yaml")
	if dir, _, ok := strings.Cut(file, "/"); ok {
		up, name = "../", strings.TrimSuffix(dir, "s")
	}
	return "# yaml-language-server: $schema=" + up + SchemaDir + "/" + name + ".json\n"
}

func startFiles() []startFile {
	return []startFile{
		{bulbsDir + "/example-led-h11.yaml.example", modeline(bulbsDir+"/x.yaml") + template("A bulb with its lots and tests. Copy this file to bulbs/ID.yaml, where ID is the id inside, and change it.", exampleBulb())},
		{rigsDir + "/example-projector.yaml.example", modeline(rigsDir+"/x.yaml") + template("A lamp on the bench. Copy this file to rigs/ID.yaml, where ID is the id inside, and change it.", exampleRig())},
		{carsDir + "/example-car.yaml.example", modeline(carsDir+"/x.yaml") + template("A car with its lamps. Copy this file to cars/ID.yaml, where ID is the id inside, and change it.", exampleCar())},
		{RulesFile + ".example", modeline(RulesFile) + exampleRules},
		{WordsFile + ".example", modeline(WordsFile) + exampleWords},
		{CheckFile + ".example", modeline(CheckFile) + exampleCheck()},
		{".gitignore", "# What the program keeps for itself: its lock, unfinished drafts, and copies of replaced files.\n" +
			LockFile + "\n" + DraftsDir + "/\n" + HistoryDir + "/\n.*.tmp\n"},
	}
}

// exampleCheck lists the thresholds as they are.
func exampleCheck() string {
	lines := comment("When a legal record is called implausible. Copy this file to check.yaml and keep only what you change; a figure comes with one line saying why it is that figure.")
	rules := reflect.ValueOf(data.DefaultCheckRules())
	for _, f := range fieldsOf(rules.Type()) {
		lines = append(lines, comment(f.doc)...)
		lines = append(lines, f.key+": "+flowText(rules.Field(f.index), f, true))
	}
	return strings.Join(lines, "\n") + "\n"
}

const exampleRules = `# Your own thresholds, driving profiles and weights. Copy this file to rules.yaml and keep only
# what you change; everything else stays as the program knows it. A figure comes with one line
# saying why it is that figure. A driving profile is given whole.
format: 1
choice:
  trip: {value: 40, why: "my drive to work"}
gate:
  stray_low: {value: 1.5, why: "narrow roads here"}
driving:
  - name: rural
    dim: {value: 0.8, why: "a fifth less than the halogen costs a tenth of reach"}
    enough: {value: 2.0, why: "more only dazzles"}
    output: 0.50
    pattern: 0.35
    heat: 0.15
    why: "the pattern counts more on my roads"
`

const exampleWords = `# Your own words for the reading of plain questions. Copy this file to words.yaml. They are added
# to those the program knows. A phrase is in lower case: (a|b) is a choice, [a] may be left out,
# stem~ is any word that starts so, # is a number, ... is up to three words.
beams:
  low:
    - town light[s]
sizes:
  H7:
    - the usual one
`

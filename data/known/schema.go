package known

import (
	"embed"
	"io/fs"
	"slices"
	"strings"
)

//go:embed schema/*.json
var schemaFiles embed.FS

// Schema returns the JSON Schema of a document by its short name, pick-2 for
// stillbright/pick/2.
func Schema(name string) ([]byte, bool) {
	text, err := schemaFiles.ReadFile("schema/" + name + ".json")
	return text, err == nil
}

const fileSchema = "yaml-" // begins the short names of the schemas of files

// FileSchemas returns the JSON Schemas of the files a person writes, by what is
// in them: catalog, bulb, rig, car, rules, words, check, columns.
func FileSchemas() map[string][]byte {
	schemas := map[string][]byte{}
	for _, name := range FileSchemaNames() {
		text, _ := Schema(name)
		schemas[strings.TrimSuffix(strings.TrimPrefix(name, fileSchema), "-1")] = text
	}
	return schemas
}

// FileSchemaNames lists the short names of the schemas of files, sorted.
func FileSchemaNames() []string {
	return slices.DeleteFunc(schemaNames(), func(name string) bool { return !strings.HasPrefix(name, fileSchema) })
}

// SchemaNames lists the short names of every document, sorted.
func SchemaNames() []string {
	return slices.DeleteFunc(schemaNames(), func(name string) bool { return strings.HasPrefix(name, fileSchema) })
}

func schemaNames() []string {
	files, err := fs.Glob(schemaFiles, "schema/*.json")
	if err != nil {
		return nil // the pattern is ours and well formed
	}
	for i, file := range files {
		files[i] = strings.TrimSuffix(strings.TrimPrefix(file, "schema/"), ".json")
	}
	slices.Sort(files)
	return files
}

package known

import (
	"embed"
	"io/fs"
	"slices"
	"strings"
)

//go:embed schema/*.json
var schemaFiles embed.FS

// Schema returns the JSON Schema of a document by its short name, pick-1 for
// stillbright/pick/1.
func Schema(name string) ([]byte, bool) {
	text, err := schemaFiles.ReadFile("schema/" + name + ".json")
	return text, err == nil
}

// SchemaNames lists the short names of every document, sorted.
func SchemaNames() []string {
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

package known

import (
	"embed"
	"io/fs"
	"slices"
	"strings"
)

//go:embed help/*.txt
var helpFiles embed.FS

// HelpTopic returns the text of a help topic.
func HelpTopic(name string) (string, bool) {
	text, err := helpFiles.ReadFile("help/" + name + ".txt")
	return string(text), err == nil
}

// HelpTopics lists the help topics, sorted.
func HelpTopics() []string {
	files, err := fs.Glob(helpFiles, "help/*.txt")
	if err != nil {
		return nil // the pattern is ours and well formed
	}
	for i, file := range files {
		files[i] = strings.TrimSuffix(strings.TrimPrefix(file, "help/"), ".txt")
	}
	slices.Sort(files)
	return files
}

package known

import "embed"

//go:embed completion/stillbright.*
var completionFiles embed.FS

// CompletionShells lists the shells there is a completion script for.
func CompletionShells() []string { return []string{"bash", "zsh", "fish"} }

// CompletionScript returns the completion script of a shell.
func CompletionScript(shell string) (string, bool) {
	text, err := completionFiles.ReadFile("completion/stillbright." + shell)
	return string(text), err == nil
}

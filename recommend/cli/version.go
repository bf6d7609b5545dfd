package cli

import (
	"runtime"
	"runtime/debug"
	"strings"

	"stillbright/recommend"
	"stillbright/recommend/sheets"
)

// Build is what the release script stamps into the program. An empty field is
// filled from what the Go tool records by itself.
type Build struct {
	Version string // 1.2.0
	Commit  string // full hash
	Date    string // of the commit, RFC 3339
}

// showVersion prints what was built, from what, by what and for what.
func (env *Env) showVersion(asJSON bool) error {
	sheet := env.Build.sheet()
	if asJSON {
		return env.printJSON(sheet)
	}
	commit := string(sheet.Commit)
	if commit == "" {
		commit = "unknown"
	}
	if sheet.Date != "" {
		commit += ", " + string(sheet.Date)
	}
	if sheet.Modified != nil && *sheet.Modified {
		commit += ", with changes not committed"
	}
	text := "stillbright " + sheet.Version + "\ncommit " + commit + "\n" + sheet.Go + " " + sheet.OS + "/" + sheet.Arch
	if len(sheet.Tags) > 0 {
		text += ", tags " + strings.Join(sheet.Tags, ",")
	}
	return env.print(text + "\n")
}

// sheet joins the stamps with the data the Go tool wrote into the program.
func (b Build) sheet() sheets.VersionSheet {
	sheet := sheets.VersionSheet{
		Schema: "stillbright/version/1", Version: b.Version, Commit: recommend.Word(b.Commit), Date: recommend.Word(b.Date),
		Go: runtime.Version(), OS: runtime.GOOS, Arch: runtime.GOARCH, Tags: []string{},
	}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		info = &debug.BuildInfo{}
	}
	for _, setting := range info.Settings {
		switch setting.Key {
		case "vcs.revision":
			if b.Commit == "" {
				sheet.Commit = recommend.Word(setting.Value)
			}
		case "vcs.time":
			if b.Date == "" {
				sheet.Date = recommend.Word(setting.Value)
			}
		case "vcs.modified":
			modified := setting.Value == "true"
			sheet.Modified = &modified
		case "-tags":
			sheet.Tags = strings.Split(setting.Value, ",")
		}
	}
	if sheet.Version == "" {
		sheet.Version = strings.Trim(info.Main.Version, "()")
	}
	if sheet.Version == "" {
		sheet.Version = "devel"
	}
	return sheet
}

// text tells one build from another, in one line.
func (b Build) text() string {
	sheet := b.sheet()
	return sheet.Version + " " + string(sheet.Commit) + " " + string(sheet.Date) + " " + sheet.Go
}

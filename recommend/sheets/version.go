package sheets

import "stillbright/recommend"

// VersionSheet is what --version --json prints.
type VersionSheet struct {
	Schema   string         `json:"schema" enum:"stillbright/version/1" doc:"document and version"`
	Version  string         `json:"version" doc:"version of the program, devel for a build outside a release"`
	Commit   recommend.Word `json:"commit" doc:"hash of the commit it was built from"`
	Date     recommend.Word `json:"date" doc:"date of that commit, RFC 3339"`
	Modified *bool          `json:"modified" doc:"built with changes that were not committed"`
	Go       string         `json:"go" doc:"version of Go it was built with"`
	OS       string         `json:"os" doc:"operating system it was built for, as Go names it"`
	Arch     string         `json:"arch" doc:"processor it was built for, as Go names it"`
	Tags     []string       `json:"tags" doc:"build tags"`
}

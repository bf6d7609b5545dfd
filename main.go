// Command stillbright turns a bench tester's records of LED replacement
// headlamp bulbs into decisions for vehicle owners.
package main

import (
	"os"

	"stillbright/recommend/cli"
)

// Stamped by the release script: -ldflags "-X main.version=1.2.0 -X main.commit=… -X main.date=…".
var version, commit, date string

func main() {
	os.Exit(cli.Main(cli.Build{Version: version, Commit: commit, Date: date}, os.Args, os.Stdin, os.Stdout, os.Stderr))
}

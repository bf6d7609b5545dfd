// Command stillbright turns a bench tester's records of LED replacement
// headlamp bulbs into decisions for vehicle owners.
package main

import (
	"os"

	"stillbright/recommend/cli"
)

func main() {
	os.Exit(cli.Main(os.Args, os.Stdin, os.Stdout, os.Stderr))
}

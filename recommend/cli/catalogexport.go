package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/urfave/cli/v2"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/data/sheet"
)

func (env *Env) catalogExportCommand() *cli.Command {
	return &cli.Command{
		Name: "export", Usage: "writes the tests as a table (.csv, .xlsx), or all records (.json), for viewers or another catalog",
		ArgsUsage: "FILE",
		Flags: []cli.Flag{
			&cli.BoolFlag{Name: "force", Usage: "replace the file when it is there"},
			catalogFlag(),
		},
		Action: env.catalogExport,
	}
}

func (env *Env) catalogExport(c *cli.Context) error {
	if c.Args().Len() != 1 {
		return usage("export wants one file that ends in .csv, .xlsx or .json", "stillbright catalog export tests.xlsx")
	}
	name := c.Args().First()
	form := strings.ToLower(strings.TrimPrefix(filepath.Ext(name), "."))
	if form != sheet.FormCSV && form != sheet.FormXLSX && form != "json" {
		return usage(name+": the ending must be .csv, .xlsx or .json", "stillbright catalog export tests.xlsx")
	}
	if _, err := os.Lstat(name); err == nil && !c.Bool("force") {
		return usage(name+" is there already", "--force replaces it")
	}
	b, err := env.open(c.String("catalog"))
	if err != nil {
		return err
	}
	var content []byte
	if form == "json" {
		content, err = sheet.WriteRecords(b.catalog)
	} else {
		content, err = sheet.Export(b.catalog, form, known.Sizes())
	}
	if err != nil {
		return err
	}
	if err := writeAtomically(name, content); err != nil {
		return err
	}
	if note := notInTable(b.catalog); note != "" && form != "json" {
		fmt.Fprintln(env.Err, note)
	}
	invented := ""
	if b.catalog.Invented {
		invented = " The records are invented, from the demo catalog."
	}
	tests := 0
	for _, bulb := range b.catalog.Bulbs {
		for _, lot := range bulb.Lots {
			tests += len(lot.Tests)
		}
	}
	return env.print(fmt.Sprintf("%s written: %s, %s.%s\n", name, countOf(len(b.catalog.Bulbs), "bulb", "bulbs"), countOf(tests, "test", "tests"), invented))
}

// notInTable says which records have no row in a table.
func notInTable(c data.Catalog) string {
	used := map[string]bool{}
	for _, b := range c.Bulbs {
		for _, lot := range b.Lots {
			for _, t := range lot.Tests {
				used[t.Rig] = true
			}
		}
	}
	idle := 0
	for _, rig := range c.Rigs {
		if !used[rig.ID] {
			idle++
		}
	}
	if idle+len(c.Cars) == 0 {
		return ""
	}
	return fmt.Sprintf("note: %d cars and %d rigs without a test are not in the table; a .json file holds them", len(c.Cars), idle)
}

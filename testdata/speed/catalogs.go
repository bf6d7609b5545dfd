package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"stillbright/data"
	"stillbright/data/invented"
	"stillbright/data/store"
)

// benchFolder is one catalog, as the program's folder and as one table.
type benchFolder struct {
	folder, catalog, table string
	best                   data.Bulb
	tests, bulbs           int
	bytes, tableBytes      int64
}

func newBench(folder string, tests int) (*benchFolder, error) {
	c := invented.Catalog(tests / invented.TestsEach)
	b := &benchFolder{
		folder: folder, catalog: filepath.Join(folder, "catalog"), table: filepath.Join(folder, "tests.csv"),
		best: c.Bulbs[invented.Best(len(c.Bulbs))], tests: tests, bulbs: len(c.Bulbs),
	}
	if err := b.writeCatalog(&c); err != nil {
		return nil, err
	}
	file, err := os.Create(b.table)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	if err := csv.NewWriter(file).WriteAll(invented.Table(&c)); err != nil {
		return nil, err
	}
	info, err := file.Stat()
	if err != nil {
		return nil, err
	}
	b.tableBytes = info.Size()
	return b, nil
}

func (b *benchFolder) writeCatalog(c *data.Catalog) error {
	write := func(name string, record any) error {
		text, err := store.Encode(record)
		if err != nil {
			return err
		}
		b.bytes += int64(len(text))
		return os.WriteFile(filepath.Join(b.catalog, name), text, 0o644)
	}
	for _, sub := range []string{"bulbs", "rigs", "cars"} {
		if err := os.MkdirAll(filepath.Join(b.catalog, sub), 0o755); err != nil {
			return err
		}
	}
	if err := write("catalog.yaml", data.CatalogHead{Format: 1, Name: c.Name, Invented: true, Source: "invented"}); err != nil {
		return err
	}
	for _, rig := range c.Rigs {
		if err := write("rigs/"+rig.ID+".yaml", rig); err != nil {
			return err
		}
	}
	for _, bulb := range c.Bulbs {
		if err := write("bulbs/"+bulb.ID+".yaml", bulb); err != nil {
			return err
		}
	}
	return nil
}

// Both queries answer what pick answers, by the plainest figures: of every bulb
// of the size, the newest lot, tested in projectors, its worst lamp there; those
// out that dazzle; light, beam and heat weighed 0.5, 0.3, 0.2; the best ten.
const sqlQuery = `
WITH newest AS (SELECT bulb, max(bought) AS bought FROM tests WHERE size = 'H11' GROUP BY bulb),
lamps AS (SELECT bulb, rig, max(date) AS date, name, kind, lux_27 + 0.0 AS lux,
    (lux_27 + 0.0) / ((stock_first + stock_last) / 2.0) AS ratio, stray_vs_stock + 0.0 AS stray,
    (sharpness + hot_spot + dark + width) / 4.0 AS beam, body + 0.0 AS body, price + 0.0 AS price
  FROM tests JOIN newest USING (bulb, bought) WHERE housing = 'projector' AND rig_size = 'H11' GROUP BY bulb, rig),
worst AS (SELECT *, min(ratio) FROM lamps GROUP BY bulb)
SELECT bulb, name, lux, round(ratio, 3) AS ratio,
  round(100 * (0.5 * min(1, max(0, (ratio - 0.9) / 1.1)) + 0.3 * iif(kind = 'halogen', 0.9, beam)
    + 0.2 * iif(kind = 'halogen', 1, min(1, max(0, (130 - body) / 55)))), 1) AS score
FROM worst WHERE kind = 'halogen' OR stray <= 2 ORDER BY score DESC, price, bulb LIMIT 10;
`

const mlrQuery = `
if ($size == "H11" && $rig_size == "H11") {
  if (is_absent(@bought[$bulb]) || $bought > @bought[$bulb]) {
    @bought[$bulb] = $bought;
    @lamp[$bulb] = {};
  }
  if ($bought == @bought[$bulb] && $housing == "projector") {
    if (is_absent(@lamp[$bulb][$rig]) || $date > @lamp[$bulb][$rig]["date"]) {
      @lamp[$bulb][$rig] = {"bulb": $bulb, "name": $name, "lux": $lux_27, "date": $date, "kind": $kind,
        "ratio": $lux_27 / (($stock_first + $stock_last) / 2), "stray": $stray_vs_stock, "body": $body, "price": $price,
        "beam": $kind == "halogen" ? 0.9 : ($sharpness + $hot_spot + $dark + $width) / 4};
    }
  }
}
end {
  for (bulb, lamps in @lamp) {
    worst = {};
    for (rig, lamp in lamps) {
      if (is_absent(worst["ratio"]) || lamp["ratio"] < worst["ratio"]) {
        worst = lamp;
      }
    }
    if (is_present(worst["ratio"]) && (worst["kind"] == "halogen" || worst["stray"] <= 2)) {
      heat = worst["kind"] == "halogen" ? 1 : min(1, max(0, (130 - worst["body"]) / 55));
      worst["score"] = 100 * (0.5 * min(1, max(0, (worst["ratio"] - 0.9) / 1.1)) + 0.3 * worst["beam"] + 0.2 * heat);
      emit worst;
    }
  }
}
`

// measured is a row of the table of catalogs.
type measured struct {
	bench                           *benchFolder
	pick, first, plain, sqlite, mlr *contestant
	cacheBytes                      int64
}

func (b *benchFolder) measure(built programs, rounds int) (measured, error) {
	lux, err := b.agreed(built)
	if err != nil {
		return measured{}, err
	}
	cache := filepath.Join(b.folder, "cache")
	pick := b.pickArgs(built)
	few := 3 // reading all files is slow, and varies little
	if b.tests > 10_000 {
		few = 1
	}
	finds := says(b.best.Name)
	row := measured{
		bench: b,
		pick:  &contestant{args: pick, env: []string{"XDG_CACHE_HOME=" + cache}, check: finds},
		first: &contestant{args: pick, env: []string{"XDG_CACHE_HOME=" + cache + "-none"}, check: finds, rounds: few,
			before: func() error { return os.RemoveAll(cache + "-none") }},
		plain:  &contestant{args: pick, env: []string{"STILLBRIGHT_CACHE=off"}, check: finds, rounds: few},
		sqlite: &contestant{args: b.sqliteArgs(), check: begins(fmt.Sprintf("%s,%q,%.1f,", b.best.ID, b.best.Name, lux))},
		mlr:    &contestant{args: b.mlrArgs(), check: begins(fmt.Sprintf("%s,%s,%.0f,", b.best.ID, b.best.Name, lux))},
	}
	err = compare(b.folder, rounds, []*contestant{row.pick, row.sqlite, row.mlr, row.first, row.plain})
	row.cacheBytes = sizeOf(cache)
	return row, err
}

func (b *benchFolder) pickArgs(built programs) []string {
	return []string{built.stillbright, "pick", "--catalog", b.catalog, "--size", invented.AskedSize, "--housing", invented.AskedHousing,
		"--trip", fmt.Sprintf("%dmin", invented.AskedTripMin), "--weights", "output=0.5,pattern=0.3,heat=0.2", "--no-input"}
}

func (b *benchFolder) sqliteArgs() []string {
	return []string{"sqlite3", "-csv", ":memory:", ".import " + strconv.Quote(b.table) + " tests", sqlQuery}
}

func (b *benchFolder) mlrArgs() []string {
	return []string{"mlr", "--icsv", "--ocsv", "--headerless-csv-output", "put", "-q", mlrQuery, "then", "sort", "-nr", "score", "then", "head", "-n", "10", "then", "cut", "-o", "-f", "bulb,name,lux,ratio,score", b.table}
}

// agreed checks by all three, once, that they find the same bulb with the same
// light, and returns that light in lux. The program's own figure is that of a
// curve through all readings, so it may differ from the last one by a little.
func (b *benchFolder) agreed(built programs) (float64, error) {
	find := func(args []string) (id string, lux float64, err error) {
		out, err := output(args[0], args[1:]...)
		if err != nil {
			return "", 0, err
		}
		rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
		if err != nil || len(rows) < 5 || len(rows[0]) < 3 {
			return "", 0, fmt.Errorf("%s: not a list of bulbs: %q %v", args[0], out, err)
		}
		lux, err = strconv.ParseFloat(rows[0][2], 64)
		return rows[0][0], lux, err
	}
	id, lux, err := find(b.sqliteArgs())
	if err != nil {
		return 0, err
	}
	other, otherLux, err := find(b.mlrArgs())
	if err != nil {
		return 0, err
	}
	if id != b.best.ID || other != id || otherLux != lux {
		return 0, fmt.Errorf("best is %s; sqlite3 says %s %g lx, mlr %s %g lx", b.best.ID, id, lux, other, otherLux)
	}
	if b.tests > 1000 {
		return lux, nil // the document asks the next question too, which takes dozens of decisions
	}
	out, err := output("env", append([]string{"STILLBRIGHT_CACHE=off"}, append(b.pickArgs(built), "--json")...)...)
	if err != nil {
		return 0, err
	}
	var picked struct {
		Ranked []struct {
			Bulb string
			Hot  struct{ Lux float64 }
		}
	}
	if err := json.Unmarshal([]byte(out), &picked); err != nil {
		return 0, err
	}
	if len(picked.Ranked) == 0 {
		return 0, fmt.Errorf("pick ranks nothing")
	}
	first := picked.Ranked[0]
	if first.Bulb != id || first.Hot.Lux/lux < 0.99 || first.Hot.Lux/lux > 1.01 {
		return 0, fmt.Errorf("best is %s with %g lx; pick says %s %g lx", id, lux, first.Bulb, first.Hot.Lux)
	}
	return lux, nil
}

func sizeOf(folder string) int64 {
	var sum int64
	_ = filepath.WalkDir(folder, func(_ string, entry os.DirEntry, err error) error {
		if err != nil {
			return nil
		}
		if info, err := entry.Info(); err == nil && info.Mode().IsRegular() {
			sum += info.Size()
		}
		return nil
	})
	return sum
}

package sheets

import "stillbright/recommend"

// ImportSheet is the document of `catalog import`.
type ImportSheet struct {
	Schema  string         `json:"schema" enum:"stillbright/import/1" doc:"document and version"`
	File    string         `json:"file" doc:"spreadsheet that was read"`
	Sheet   recommend.Word `json:"sheet" doc:"name of the sheet in a workbook"`
	DryRun  bool           `json:"dry_run" doc:"nothing was written"`
	Turned  bool           `json:"turned" doc:"bulbs stand in columns; every row named here is a column of the sheet"`
	Columns []ImportColumn `json:"columns" doc:"what each column was taken for"`
	Rows    []ImportRow    `json:"rows" doc:"what each row became"`
	Skipped []ImportSkip   `json:"skipped" doc:"rows that are no test"`
	Faults  []ImportFault  `json:"faults" doc:"rows that failed; nothing of them was taken"`
	Added   int            `json:"added" min:"0" doc:"rows of which something was new"`
	Updated int            `json:"updated" min:"0" doc:"rows whose figures replaced those on file"`
	Known   int            `json:"known" min:"0" doc:"rows that the catalog held already"`
	Differ  int            `json:"differ" min:"0" doc:"rows whose test is on file with other figures; nothing of them was taken"`
	Failed  int            `json:"failed" min:"0" doc:"rows that failed"`
	Files   []ImportFile   `json:"files" doc:"record files that were written, or would be"`
	Notes   []string       `json:"notes" doc:"how the file was understood"`
}

// ImportColumn is one column of a spreadsheet.
type ImportColumn struct {
	Column  int            `json:"column" min:"1" doc:"number of the column, from 1"`
	Head    string         `json:"head" doc:"its head, with the title above it"`
	Means   string         `json:"means" doc:"field of a record; derived and ignore are not read"`
	Unit    recommend.Word `json:"unit" doc:"unit of cells without one, or currency"`
	AtMin   *float64       `json:"at_min" min:"0" doc:"time lit of a lux column"`
	Housing recommend.Word `json:"housing" enum:"projector|reflector" doc:"housing that the column is about"`
	Beam    recommend.Word `json:"beam" enum:"low|high|fog" doc:"beam that the column is about"`
}

// ImportRow is one row of a spreadsheet as records, or the rows of one series.
type ImportRow struct {
	Lines       []int              `json:"lines" doc:"rows, from 1; empty for a record of a JSON file"`
	State       string             `json:"state" enum:"added|updated|known|differs|failed" doc:"added: something is new; updated: figures on file were replaced; known: the catalog held it; differs: nothing was taken, see differences; failed: see faults"`
	Kind        string             `json:"kind" enum:"bulb|rig|car" doc:"what the record is"`
	ID          string             `json:"id" doc:"its id"`
	New         bool               `json:"new" doc:"the record was not in the catalog"`
	Lot         recommend.Word     `json:"lot" doc:"lot the tests belong to"`
	Tests       []ImportTest       `json:"tests" doc:"tests of the row"`
	Differences []ImportDifference `json:"differences" doc:"what the catalog tells otherwise"`
}

// ImportDifference is a figure that the catalog and a row tell differently.
type ImportDifference struct {
	Of     string `json:"of" doc:"the record, or the test by rig and day"`
	What   string `json:"what" doc:"the figure"`
	OnFile string `json:"on_file" doc:"as the catalog holds it, with its unit"`
	Row    string `json:"row" doc:"as the row has it"`
	Taken  bool   `json:"taken" doc:"the row's figure was taken"`
}

// ImportFile is a record file that was written.
type ImportFile struct {
	File string         `json:"file" doc:"path of the file"`
	Copy recommend.Word `json:"copy" doc:"where its former text is kept"`
}

// ImportTest is one test of a row.
type ImportTest struct {
	Rig        string          `json:"rig" doc:"id of the rig"`
	Beam       recommend.Word  `json:"beam" enum:"low|high|fog" doc:"beam, in a rig that does two"`
	Date       string          `json:"date" doc:"day of the test"`
	Volts      *float64        `json:"volts_v" doc:"supply at the plug"`
	StockFirst *float64        `json:"stock_first_lx" doc:"stock reading before the bulb"`
	StockLast  *float64        `json:"stock_last_lx" doc:"stock reading after the bulb"`
	Body       *float64        `json:"body_c" doc:"hottest point of the body"`
	Readings   []ImportReading `json:"readings" doc:"lux against time lit"`
	Notes      []string        `json:"notes" doc:"notes"`
}

// ImportReading is one reading.
type ImportReading struct {
	AtMin float64 `json:"at_min" min:"0" doc:"time lit"`
	Lux   float64 `json:"lux" doc:"reading"`
}

// ImportSkip is a row that is no test.
type ImportSkip struct {
	Line int    `json:"line" min:"1" doc:"row, from 1"`
	Why  string `json:"why" doc:"why it is none"`
}

// ImportFault is a cell or row that cannot be taken.
type ImportFault struct {
	Line    int            `json:"line" min:"0" doc:"row, from 1"`
	Col     int            `json:"col" min:"0" doc:"column, from 1"`
	Head    recommend.Word `json:"head" doc:"head of the column, or key of the record"`
	Message string         `json:"message" doc:"what is wrong"`
	Hint    recommend.Word `json:"hint" doc:"something to type or do"`
}

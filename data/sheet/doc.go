// Package sheet exchanges readings and records as tables: CSV and spreadsheets.
//
// ReadTable makes text cells of CSV or XLSX; Interpret finds the headings (findHeads,
// propose), completes the mapping, reads each cell (rowReading.take) and makes entries
// of rows (entry.go), of series and stock rows (gather.go); Apply holds each entry
// against the records (merge.go) and says what is new, known, different or wrong; the
// store writes.
//
// A word in a heading goes into the groups at the top of heads.go; meansOf there says
// in which order they decide. A messy sheet goes into testdata/sheets as somebody would
// write it, never one made by our export, and into the list of messy_test.go with what
// a user would have to say; UPDATE_SHEETS=1 go test -run TestMessy ./data/sheet writes
// its golden file, to be read row by row. A column of a field is Column, Head, Place and
// Words of its line in data/facttable.go; one that is no field is a word beside meansLux.
package sheet

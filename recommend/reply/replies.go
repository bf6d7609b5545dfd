package reply

import "stillbright/recommend"

// Replies is the document of `reply --from`: how a list of questions went.
type Replies struct {
	Schema   string         `json:"schema" enum:"stillbright/replies/1" doc:"document and version"`
	From     string         `json:"from" doc:"file with the questions"`
	To       recommend.Word `json:"to" doc:"file with the answers; null when only a tally was made"`
	Rows     int            `json:"rows" doc:"rows that were read"`
	Answered int            `json:"answered" doc:"rows that were answered"`
	BadRows  int            `json:"bad_rows" doc:"rows that could not be read"`
	Bad      []BadRow       `json:"bad" doc:"the first of them, a hundred at most"`
	Resumed  int            `json:"resumed" doc:"rows that an earlier, interrupted run had done"`
	Tally    *Tally         `json:"tally" doc:"what viewers ask for; null without --tally"`
}

// BadRow is one row that could not be read.
type BadRow struct {
	At  string `json:"at" doc:"file and line where the row starts"`
	Why string `json:"why" doc:"what is wrong"`
}

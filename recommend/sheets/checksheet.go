package sheets

import "stillbright/recommend"

// CheckSheet is the document of `catalog check`.
type CheckSheet struct {
	Schema string      `json:"schema" enum:"stillbright/check/1" doc:"document and version"`
	Folder string      `json:"folder" doc:"folder that was checked"`
	Faults []FaultLine `json:"faults" doc:"every fault and every implausible figure, in file and line order"`
}

// FaultLine is one fault.
type FaultLine struct {
	Severity string         `json:"severity" enum:"wrong|implausible" doc:"wrong: nothing is computed from the catalog; implausible: legal and unlikely"`
	File     string         `json:"file" doc:"file"`
	Line     int            `json:"line" min:"0" doc:"line, from 1; 0 when the whole file is meant"`
	Col      int            `json:"col" min:"0" doc:"column, from 1"`
	Path     recommend.Word `json:"path" doc:"key path in the file"`
	Message  string         `json:"message" doc:"what is wrong, and why"`
	Hint     recommend.Word `json:"hint" doc:"something to type or do"`
}

package sheets

import "stillbright/data"

// LimitList is the document of the published tables that a grid can be held to.
type LimitList struct {
	Schema string       `json:"schema" enum:"stillbright/limits/1" doc:"document and version"`
	Limits []LimitsName `json:"limits" doc:"one for each table and column"`
}

// LimitsName names one published table.
type LimitsName struct {
	ID         string `json:"id" doc:"name to type after --limits"`
	Title      string `json:"title" doc:"regulation, table, column or class"`
	Beam       string `json:"beam" enum:"low|high|fog" doc:"beam it is about"`
	Handed     bool   `json:"handed" doc:"written for right-hand traffic; left and right change places for left-hand traffic"`
	Rows       int    `json:"rows" doc:"how many requirements it has" min:"1"`
	Source     string `json:"source" doc:"where it was read"`
	Confidence string `json:"confidence" enum:"read|read_secondary|computed|inferred|memory|common_practice" doc:"how it is known"`
}

// ListLimits names the published tables, in their order on file.
func ListLimits(tables []data.LimitTable) LimitList {
	list := LimitList{Schema: "stillbright/limits/1", Limits: []LimitsName{}}
	for _, t := range tables {
		list.Limits = append(list.Limits, LimitsName{t.ID, t.Title, t.Beam, t.Handed, len(t.Rows), t.Source, t.Confidence})
	}
	return list
}

package recommend

// Problem is the document of a failure under --json.
type Problem struct {
	Schema  string `json:"schema" enum:"stillbright/error/1" doc:"document and version"`
	Code    int    `json:"code" doc:"exit code" min:"1" max:"130"`
	Message string `json:"message" doc:"what went wrong"`
	Hint    Word   `json:"hint" doc:"something to type or do"`
	At      Word   `json:"at" doc:"file:line:col of the first fault"`
}

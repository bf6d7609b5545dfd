package data

// Judged is a threshold that is a judgement, not a published figure: the
// number and one line saying why it is that number. Those of rules.yaml a user may override.
type Judged struct {
	Value float64 `yaml:"value" req:"1" doc:"the threshold, in the unit that its name or comment states"`
	Why   string  `yaml:"why" req:"1" doc:"one line: why this number"`
}

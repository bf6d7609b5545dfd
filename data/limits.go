package data

// Direction is a direction from the lamp: degrees right of the axis and above it.
type Direction struct {
	H float64 `yaml:"h" req:"1" min:"-90" max:"90" doc:"degrees, right of the axis"`
	V float64 `yaml:"v" req:"1" min:"-90" max:"90" doc:"degrees, above the axis"`
}

// Re-aim rules.
const (
	ReaimNone = "none"
	ReaimEach = "each" // every test point may be looked for anew
	ReaimLamp = "lamp" // the lamp is aimed anew once, for all points
)

// LimitTables is the file limits.yaml.
type LimitTables struct {
	Format int          `yaml:"format" req:"1" min:"1" max:"1" doc:"version of this file format; 1"`
	Tables []LimitTable `yaml:"tables" req:"1" doc:"one table for each class or column"`
}

// LimitTable is one published table of intensities of a beam.
type LimitTable struct {
	ID         string     `yaml:"id" req:"1" id:"1" doc:"short name of the table and column"`
	Title      string     `yaml:"title" req:"1" doc:"regulation, table, column or class"`
	Beam       string     `yaml:"beam" req:"1" enum:"low|high|fog" doc:"beam it is about"`
	Handed     bool       `yaml:"handed" doc:"written for right-hand traffic; left and right change places for left-hand traffic"`
	Reaim      string     `yaml:"reaim" req:"1" enum:"none|each|lamp" doc:"whether aiming anew is allowed: at every point, or once for the lamp"`
	ReaimLeft  float64    `yaml:"reaim_left" min:"0" max:"2" doc:"degrees allowed to the left"`
	ReaimRight float64    `yaml:"reaim_right" min:"0" max:"2" doc:"degrees allowed to the right"`
	ReaimV     float64    `yaml:"reaim_v" min:"0" max:"2" doc:"degrees allowed up and down"`
	Rows       []LimitRow `yaml:"rows" req:"1" doc:"requirements"`
	Source     string     `yaml:"source" req:"1" doc:"where it was read"`
	Confidence string     `yaml:"confidence" req:"1" enum:"read|read_secondary|computed|inferred|memory|common_practice" doc:"how it is known"`
}

// LimitRow is one requirement of a table.
type LimitRow struct {
	Point      string      `yaml:"point" req:"1" doc:"name of the point, line or zone as the table has it"`
	Kind       string      `yaml:"kind" req:"1" enum:"points|line|zone|sum|peak" doc:"each of the points; anywhere on a line of two ends; anywhere in an outline; the sum over the points; the greatest intensity of the beam"`
	At         []Direction `yaml:"at" doc:"the points, the two ends of the line, or the corners of the outline"`
	Min        *float64    `yaml:"min" unit:"cd" bare:"ok" min:"0" max:"1000000" doc:"least intensity"`
	Max        *float64    `yaml:"max" unit:"cd" bare:"ok" min:"0" max:"1000000" doc:"greatest intensity"`
	Of         string      `yaml:"of" doc:"name of the point, or peak, whose measured intensity the shares are of"`
	MinShare   *float64    `yaml:"min_share" min:"0" max:"10" doc:"least intensity as a share of that"`
	MaxShare   *float64    `yaml:"max_share" min:"0" max:"10" doc:"greatest intensity as a share of that"`
	Above      bool        `yaml:"above" doc:"lies above the cutoff, so that its maximum is a limit on glare"`
	Confidence string      `yaml:"confidence" enum:"read|read_secondary|computed|inferred|memory|common_practice" doc:"how this row is known, when it differs from the table"`
}

package data

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Fault is one thing wrong with one place of one file.
type Fault struct {
	File    string // as the user knows it
	Line    int    // from 1; 0 when the whole file is meant
	Col     int    // from 1
	Path    string // key path in the file: lots[0].tests[1].rig
	Message string // what, of what, legal values; lower case, no full stop
	Hint    string // something to type or do, or empty
	Warning bool   // implausible, not wrong
	Absent  bool   // of a warning: a figure is missing that would be wanted
}

// At is the position as file:line:col.
func (f Fault) At() string {
	if f.Line == 0 {
		return f.File
	}
	return fmt.Sprintf("%s:%d:%d", f.File, f.Line, f.Col)
}

// String is the whole fault on one line, hint left out.
func (f Fault) String() string {
	if f.Path == "" {
		return f.At() + ": " + f.Message
	}
	return f.At() + ": " + f.Path + ": " + f.Message
}

// Faults is every fault found, in file and line order. It is an error.
type Faults []Fault

// Error lists all faults, one a line, each with its hint.
func (f Faults) Error() string {
	var text strings.Builder
	for i, fault := range f {
		if i > 0 {
			text.WriteByte('\n')
		}
		text.WriteString(fault.String())
		if fault.Hint != "" {
			text.WriteString("\n  hint: " + fault.Hint)
		}
	}
	return text.String()
}

// Sort puts the faults in file and line order.
func (f Faults) Sort() {
	slices.SortStableFunc(f, func(a, b Fault) int {
		return cmp.Or(strings.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Col, b.Col))
	})
}

// Wrong returns the faults that are not mere warnings.
func (f Faults) Wrong() Faults {
	var wrong Faults
	for _, fault := range f {
		if !fault.Warning {
			wrong = append(wrong, fault)
		}
	}
	return wrong
}

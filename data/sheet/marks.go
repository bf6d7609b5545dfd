package sheet

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"stillbright/data"
)

// Columns that are a mark by eye, 0 to 3, the best 3.
const (
	markCutoff  = "mark_cutoff"
	markHotSpot = "mark_hot_spot"
	markStray   = "mark_stray"
	markDark    = "mark_dark"
	markWidth   = "mark_width"
)

var eyeMarks = map[string]func(*data.Marks) **int{
	markCutoff:  func(m *data.Marks) **int { return &m.Cutoff },
	markHotSpot: func(m *data.Marks) **int { return &m.HotSpot },
	markStray:   func(m *data.Marks) **int { return &m.Stray },
	markDark:    func(m *data.Marks) **int { return &m.Dark },
	markWidth:   func(m *data.Marks) **int { return &m.Width },
}

func markOf(means string) func(*data.Marks) **int { return eyeMarks[means] }

// headScale is the scale of a score: (1-10), [0..3], /10, out of 5. With a unit
// behind it, as in (0-30 min), it is none.
var headScale = data.LateRegexp(`(?i)[([]\s*(\d+)\s*(?:-|–|\.\.|/|to)\s*(\d+)\s*[)\]]|()(?:/|\bout of)\s*(5|10|100)\s*[)\]]?\s*$`)

// withoutScale takes the scale of a score out of a head: its figures are no time lit.
// The scale is empty where there is none, and else as in 0-3.
func withoutScale(head string) (rest, scale string) {
	m := headScale().FindStringSubmatchIndex(head)
	if m == nil {
		return head, ""
	}
	low, high := "0", ""
	if m[2] >= 0 {
		low, high = head[m[2]:m[3]], head[m[4]:m[5]]
	} else {
		high = head[m[8]:m[9]]
	}
	return strings.TrimSpace(head[:m[0]] + " " + head[m[1]:]), low + "-" + high
}

// meansOfScore is the mark by eye that a score on the scale of the marks is, where
// its name says that more is better. Stray light and dark spots do not: 3 may be the
// worst; these, and other scales, are kept as a note until a mapping says more.
func meansOfScore(words []string, scale string) string {
	if scale != "0-3" {
		return meansNote
	}
	switch name := strings.Join(words, " "); {
	case has(words, []string{"cutoff"}) || strings.Contains(name, "cut off"):
		return markCutoff
	case has(words, []string{"hotspot"}) || strings.Contains(name, "hot spot"):
		return markHotSpot
	case strings.Contains(name, "dark above"):
		return markStray
	case has(words, []string{"even", "evenness"}):
		return markDark
	case has(words, []string{"width"}):
		return markWidth
	}
	return meansNote
}

// mark takes a mark by eye. One that is none of 0 to 3 is kept as it was written.
func (r *rowReading) mark(c Column, text string) {
	value, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if err != nil || value != float64(int(value)) || value < 0 || value > 3 {
		r.marked = append(r.marked, c.Head+": "+text)
		return
	}
	test := r.part(c)
	if test.Pattern == nil {
		test.Pattern = &data.PatternRecord{Method: "grade", Marks: &data.Marks{}}
	}
	n := int(value)
	*markOf(c.Means)(test.Pattern.Marks) = &n
}

// marksOf is the note of marks that belong to no test of the row.
func marksOf(where string, p *data.PatternRecord) string {
	var said []string
	for _, key := range slices.Sorted(maps.Keys(eyeMarks)) {
		if mark := *eyeMarks[key](p.Marks); mark != nil {
			said = append(said, fmt.Sprintf("%s %d", strings.ReplaceAll(strings.TrimPrefix(key, "mark_"), "_", " "), *mark))
		}
	}
	return "marks by eye, " + where + ": " + strings.Join(said, ", ")
}

// addMarks gives a test the marks whose heads say no lamp, beside those that do.
func addMarks(t *data.Test, common *data.PatternRecord) {
	if common == nil || t.Pattern == nil || t.Pattern == common {
		return
	}
	for _, at := range eyeMarks {
		if *at(t.Pattern.Marks) == nil {
			*at(t.Pattern.Marks) = *at(common.Marks)
		}
	}
}

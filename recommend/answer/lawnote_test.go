package answer

import (
	"regexp"
	"strings"
	"testing"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/recommend"
)

// noted is a line whose note is given as the data hold it.
func noted(note string) recommend.LawLine {
	line := recommend.LawLine{Where: "GB"}
	for _, s := range data.LawStatements(note) {
		line.Says = append(line.Says, recommend.LawSaid{Known: recommend.Word(s.Known), Text: s.Text})
	}
	return line
}

func TestLawNote(t *testing.T) {
	for note, want := range map[string]string{
		"No clause read.":                              "No clause read.",
		"[read] A. [inferred] B. [memory] C":           "A. Concluded, not read: B. From memory, not checked: C.",
		"[memory] A. [read] B.":                        "From memory, not checked: A. Read again: B.",
		"[read] A. [read] B.":                          "A. B.",
		"[read, press] A. [guessed] B.":                "From the press: A. [guessed] B.", // never hide a mark that is not understood
		"[read] An item [a] of a list, rule [22a(1)].": "An item [a] of a list, rule [22a(1)].",
		"[read":  "[read.",
		"[]read": "[]read.",
	} {
		if got := lawNote(noted(note)); got != want {
			t.Errorf("%s\n got %s\nwant %s", note, got, want)
		}
	}
	old, six := noted("[inferred] A."), 6
	old.YearsOld, old.Fallback = &six, "this is the rule of X (XX)"
	if got := lawNote(old); got != "Note: this is the rule of X (XX). Concluded, not read: A. The newest source is 6 years old; check before relying on it." {
		t.Error(got)
	}
}

// No mark of the data reaches an owner, and none is lost: each row that holds one
// of memory or conclusion still says so.
func TestLawNoteOfEveryRow(t *testing.T) {
	var notes []string
	for _, row := range known.Law() {
		notes = append(notes, row.Note)
	}
	for _, note := range known.LawNotes() {
		notes = append(notes, note.Text)
	}
	marks := regexp.MustCompile(`\[([a-z, ]+)\]`)
	counted := 0
	for _, note := range notes {
		text := lawNote(noted(note))
		if strings.ContainsAny(text, "[]") {
			t.Errorf("a mark is left: %s", text)
		}
		for _, mark := range marks.FindAllStringSubmatch(note, -1) {
			counted++
			word, ok := map[string]string{"read": "", "memory": "from memory", "inferred": "concluded", "read, press": "press", "read, weak": "weak", "read, blogs": "blogs"}[mark[1]]
			if !ok || !strings.Contains(strings.ToLower(text), word) {
				t.Errorf("%s: %q is not said in %s", note, mark[1], text)
			}
		}
	}
	if counted < 200 {
		t.Errorf("only %d marks found", counted)
	}
}

func TestAlikeLaw(t *testing.T) {
	lines := []recommend.LawLine{
		{Where: "XX", Beam: "low", Verdict: "unclear", Says: []recommend.LawSaid{{Text: "A."}}}, {Where: "XX", Beam: "high", Verdict: "unclear", Says: []recommend.LawSaid{{Text: "A."}}},
		{Where: "XX", Beam: "fog", Verdict: "unclear", Says: []recommend.LawSaid{{Text: "B."}}}, {Where: "XX", Beam: "drl", Verdict: "unclear", Says: []recommend.LawSaid{{Text: "A."}}},
	}
	var beams []string
	for _, line := range alikeLaw(lines) {
		beams = append(beams, line.Beam)
	}
	if got := strings.Join(beams, " | "); got != "low, high | fog | drl" {
		t.Errorf("beams %s", got)
	}
	if lines[0].Beam != "low" {
		t.Error("the sheet itself was changed")
	}
}

func TestRoundedText(t *testing.T) {
	for text, want := range map[string]string{
		">= 3.22501145507": ">= 3.23", "<= 36.8572737723": "<= 36.9", "4.3 to 5.3": "4.3 to 5.3",
		"25.375": "25.4", "1234.5678": "1235", "inline": "inline", "": "",
	} {
		if got := roundedText(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

package data_test

import (
	"reflect"
	"testing"

	"stillbright/data"
)

func TestSeparator(t *testing.T) {
	for _, c := range []struct {
		what  string
		lines []string
		want  rune
		cuts  int
	}{
		{"commas", []string{"minute,lux", "0,1001", "1,960"}, ',', 3},
		{"decimal commas between semicolons", []string{"0,5;1001,2", "1,5;960,1", "2,5;955"}, ';', 3},
		{"decimal commas between tabs", []string{"0,5\t1001,2", "1,5\t960,1"}, '\t', 2},
		{"semicolons in notes", []string{"a,b,note", "1,2,warm; dry", "3,4,", "5,6,x"}, ',', 3},
		{"a question with commas and one semicolon", []string{"id,question;note,x"}, ',', 1},
		{"commas in quotes", []string{`"a,b";c`, `"d,e,f";g`}, ';', 2},
		{"a title over the columns", []string{"Tests, spring", "Bulb\tlux", "a\t1", "b\t2"}, '\t', 3},
		{"an empty cell behind one", []string{"a;", "b;"}, 0, 0},
		{"nothing to cut", []string{"a", "b"}, 0, 0},
		{"no line", nil, 0, 0},
	} {
		if got, cuts := data.Separator(c.lines); got != c.want || cuts != c.cuts {
			t.Errorf("%s: %q in %d lines, want %q in %d", c.what, got, cuts, c.want, c.cuts)
		}
	}
}

func TestCutLine(t *testing.T) {
	want := []data.TextCell{{Text: "a", Col: 1}, {Text: `b "c", d`, Col: 5}, {Text: "", Col: 18}, {Text: "é", Col: 19}}
	if got := data.CutLine(`a,  "b ""c"", d",,é `, ','); !reflect.DeepEqual(got, want) {
		t.Errorf("%+v, want %+v", got, want)
	}
}

func TestOneSlip(t *testing.T) {
	for _, c := range []struct {
		one, other string
		want       bool
	}{
		{"housing", "housnig", true}, {"housing", "hosing", true}, {"hosing", "housing", true}, {"housing", "houzing", true}, {"größe", "grösse", false},
		{"größe", "große", true}, {"lux", "lux", false}, {"lux", "luxes", false}, {"abcd", "badc", false}, {"", "a", true}, {"", "", false},
	} {
		if got := data.OneSlip(c.one, c.other); got != c.want {
			t.Errorf("%q and %q: %v", c.one, c.other, got)
		}
	}
}

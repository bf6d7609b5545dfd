package list

import (
	"bytes"
	"errors"
	"io"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"stillbright/recommend/reply"
)

func allRows(t testing.TB, name, column string, content []byte) []row {
	t.Helper()
	r, err := NewReader(name, bytes.NewReader(content), column)
	if err != nil {
		t.Fatal(err)
	}
	var all []row
	for {
		one, err := r.next()
		if errors.Is(err, io.EOF) {
			return all
		}
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, one)
	}
}

// TestBrokenQuotes: a quote that is not closed, or has text behind it, costs its own
// line at most.
func TestBrokenQuotes(t *testing.T) {
	content := "id,question\n" +
		"1,\"two\nlines, one question\"\n" + // RFC 4180: lines 2 and 3
		"2,\"2 inch\" gap behind H7\n" +
		"3,H11 low\n" +
		"4,\"never closed\n" +
		"5,H4\n" +
		"6,2 3/4\" there\n"
	want := []row{
		{2, "two\nlines, one question", ""}, {4, `"2 inch" gap behind H7`, ""}, {5, "H11 low", ""}, {6, `"never closed`, ""},
		{7, "H4", ""}, {8, `2 3/4" there`, ""},
	}
	if got := allRows(t, "q.csv", "", []byte(content)); !slices.Equal(got, want) {
		t.Errorf("%+v", got)
	}
}

// TestLongLinesStayBounded: what is longer than a line may be is skipped, and the
// next line is read.
func TestLongLinesStayBounded(t *testing.T) {
	content := "question\n" + strings.Repeat("x", 3*lineMost) + "\nH7?\n" + strings.Repeat("\"y,", lineMost) + "\nH4?\n"
	got := allRows(t, "q.csv", "", []byte(content))
	if len(got) != 4 || got[1].question != "H7?" || got[3].question != "H4?" || got[0].bad == "" || got[2].bad == "" {
		for _, r := range got {
			t.Errorf("line %d: %.40q %s", r.line, r.question, r.bad)
		}
	}
}

// TestGuardCell: what a spreadsheet could take for a formula gets an apostrophe.
func TestGuardCell(t *testing.T) {
	for cell, want := range map[string]string{
		"=1+1": "'=1+1", "+49": "'+49", "-2": "'-2", "@SUM(A1)": "'@SUM(A1)", "\tx": "'\tx", "\rx": "'\rx", ` "=1"`: `' "=1"`,
		"H7": "H7", "": "", "a=b": "a=b", "\u00a0=1": "'\u00a0=1", "＝1": "'＝1",
	} {
		if got := guardCell(cell); got != want {
			t.Errorf("%q: %q, want %q", cell, got, want)
		}
	}
}

// FuzzRows: no file panics the reader; rows come in the order of their lines; a
// question is UTF-8 and no longer than may be.
func FuzzRows(f *testing.F) {
	for _, seed := range []string{"question,id\nH7?,1\n", "a\tb\n\"x\ty\"\n", "{\"q\":\"H7\"}\n[1]\n", "\xff\xfe", "\"\"\"\n\"", "x;y\n1;\"\n", "\ufeffq\n\n\n"} {
		for _, name := range []string{"q.csv", "q.tsv", "q.jsonl", "q.txt", "q"} {
			f.Add(name, []byte(seed))
		}
	}
	f.Fuzz(func(t *testing.T, name string, content []byte) {
		r, err := NewReader(name, bytes.NewReader(content), "")
		if err != nil {
			return
		}
		last := 0
		for range len(content) + 2 {
			one, err := r.next()
			if errors.Is(err, io.EOF) {
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if one.line <= last || one.line > bytes.Count(content, []byte("\n"))+1 {
				t.Fatalf("line %d after %d", one.line, last)
			}
			last = one.line
			if one.bad == "" && (!utf8.ValidString(one.question) || len(one.question) > reply.MaxQuestion || strings.TrimSpace(one.question) == "") {
				t.Fatalf("%q passes as a question", one.question)
			}
		}
		t.Fatal("more rows than lines")
	})
}

// TestProgressText: the bar is full at the end and never longer than it is.
func TestProgressText(t *testing.T) {
	for share, want := range map[float64]string{0: "[" + strings.Repeat(".", progressWide) + "]   0 %", 1: "[" + strings.Repeat("#", progressWide) + "] 100 %", 7: "[" + strings.Repeat("#", progressWide) + "] 100 %"} {
		if got := progressText(share, 3, 0); !strings.HasPrefix(got, want) || !strings.Contains(got, "3 rows") {
			t.Errorf("%g: %q", share, got)
		}
	}
}

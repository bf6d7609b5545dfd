package cli

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"stillbright/data/known/knowntest"
	"stillbright/recommend/cli/list"
	"stillbright/recommend/cli/wrong"
)

// writeList writes a list of questions as a file of the test.
func writeList(t testing.TB, name, content string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(file, []byte(content), 0o644); err != nil {
		t.Fatal(err)
	}
	return file
}

func readTable(t testing.TB, name string) [][]string {
	t.Helper()
	content, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(bytes.NewReader(content)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

func asLines(questions []string) string {
	var b strings.Builder
	for _, q := range questions {
		text, err := json.Marshal(map[string]string{"q": q})
		if err != nil {
			panic(err)
		}
		b.Write(append(text, '\n'))
	}
	return b.String()
}

// TestListRowsStandAlone: a row gets the same answer wherever it stands, whatever
// stands beside it, and alone.
func TestListRowsStandAlone(t *testing.T) {
	questions := knowntest.Questions(t, "dev.jsonl")[:30]
	answersOf := func(list []string) map[string][]string {
		from := writeList(t, "questions.jsonl", asLines(list))
		to := filepath.Join(t.TempDir(), "answers.csv")
		if code, _, stderr := run(t, "reply", "--from", from, "--to", to, "--style", "short"); code != 0 {
			t.Fatalf("exit %d: %s", code, stderr)
		}
		byQuestion := map[string][]string{}
		for i, cells := range readTable(t, to)[1:] {
			byQuestion[list[i]] = cells[2:]
		}
		return byQuestion
	}
	want := answersOf(questions)
	shuffled := slices.Clone(questions)
	rand.New(rand.NewPCG(1, 2)).Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
	for q, cells := range answersOf(append(shuffled, questions...)) {
		if !slices.Equal(cells, want[q]) {
			t.Errorf("%q: another answer in another order:\n%q\n%q", q, cells, want[q])
		}
	}
	for _, q := range questions[:5] {
		_, stdout, _ := run(t, "reply", "--style", "short", "--", q)
		if strings.TrimSuffix(stdout, "\n") != strings.TrimPrefix(want[q][1], "'") {
			t.Errorf("%q alone: %s", q, stdout)
		}
	}
}

// TestListKinds: the same questions in every kind of list give the same answers.
func TestListKinds(t *testing.T) {
	questions := []string{"H7 low beam projector, which LED?", `2 3/4" behind my 9012, "short" one?`, "is it legal in GB? H4"}
	quoted := func(q string) string { return `"` + strings.ReplaceAll(q, `"`, `""`) + `"` }
	lists := map[string]string{
		"plain.txt":      strings.Join(questions, "\n\n"),
		"plain":          strings.Join(questions, "\r\n"),
		"named.csv":      "id,Question,name\n1," + quoted(questions[0]) + ",a\n2," + quoted(questions[1]) + ",b\n3," + quoted(questions[2]) + ",c\n",
		"semicolon.csv":  "id;comment\n1;" + quoted(questions[0]) + "\n2;" + quoted(questions[1]) + "\n3;" + quoted(questions[2]) + "\n",
		"found.csv":      "id,what they wrote,name\n1," + quoted(questions[0]) + ",a\n2," + quoted(questions[1]) + ",b\n3," + quoted(questions[2]) + ",c\n",
		"bare_quote.csv": "id\tx\n", // replaced below
		"table.tsv":      "id\tquestion\n1\t" + questions[0] + "\n2\t" + quoted(questions[1]) + "\n3\t" + questions[2] + "\n",
		"lines.jsonl":    asLines(questions),
		"texts.ndjson":   fmt.Sprintf("%q\n%q\n%q\n", questions[0], questions[1], questions[2]),
		"bom.csv":        "\ufeffquestion,id\n" + quoted(questions[0]) + ",1\n" + quoted(questions[1]) + ",2\n" + quoted(questions[2]) + ",3\n",
		"sniffed":        "question,id\n" + quoted(questions[0]) + ",1\n" + quoted(questions[1]) + ",2\n" + quoted(questions[2]) + ",3\n",
		"one_column.csv": quoted(questions[0]) + "\n" + quoted(questions[1]) + "\n" + quoted(questions[2]) + "\n",
	}
	lists["bare_quote.csv"] = "id,question\n1," + quoted(questions[0]) + "\n2," + questions[1] + "\n3," + quoted(questions[2]) + "\n"
	var want [][]string
	for _, name := range slices.Sorted(keys(lists)) {
		to := filepath.Join(t.TempDir(), "answers.csv")
		code, _, stderr := run(t, "reply", "--from", writeList(t, name, lists[name]), "--to", to, "--style", "short")
		if code != 0 {
			t.Errorf("%s: exit %d: %s", name, code, stderr)
			continue
		}
		var got [][]string
		for _, cells := range readTable(t, to)[1:] {
			got = append(got, cells[1:])
		}
		if want == nil {
			want = got
		}
		if len(got) != 3 || !slices.EqualFunc(got, want, slices.Equal) {
			t.Errorf("%s: %q, want %q", name, got, want)
		}
	}
}

func keys(m map[string]string) func(func(string) bool) {
	return func(yield func(string) bool) {
		for k := range m {
			if !yield(k) {
				return
			}
		}
	}
}

// TestHostileList: broken rows are named and counted, the others answered; nothing
// of a question becomes a formula or reaches a terminal as a control character.
func TestHostileList(t *testing.T) {
	long := strings.Repeat("H7 ", 4<<20) // 12 MB in one cell
	list := "id,question\n" +
		"1,=cmd|' /C calc'!A0 H7 low beam which LED\n" +
		"2,\"H11 \x1b[31mred\x1b[0m \u202egnikool \x07 low beam projector\"\n" +
		"3,\xa3" + "50 for H4\n" +
		"4\n" +
		"5," + long + "\n" +
		"6,\"unterminated quote about H7\n" +
		"7,@SUM(1+1) 9005 high beam\n" +
		"8,\"\"\n" +
		"9,+49 H1 high beam\n" +
		"10,which H7 for rain, motorway, 40 min\n"
	from := writeList(t, "hostile.csv", list)
	to := filepath.Join(t.TempDir(), "answers.csv")
	code, stdout, stderr := run(t, "reply", "--from", from, "--to", to, "--style", "short")
	if code != 0 {
		t.Fatalf("exit %d: %s", code, stderr)
	}
	for _, want := range []string{":4: not UTF-8; it looks like", ":5: cells in the row: 1, the question is in cell 2", ":6: the question has more than 8192 bytes", ":9: no question in the row"} {
		if !strings.Contains(stderr, want) {
			t.Errorf("%q is not named in:\n%s", want, stderr)
		}
	}
	if !strings.Contains(stdout, "10 rows, 6 answered, 4 bad") {
		t.Errorf("summary: %s", stdout)
	}
	rows := readTable(t, to)
	if len(rows) != 11 {
		t.Fatalf("%d rows", len(rows))
	}
	for _, cells := range rows {
		for _, cell := range cells {
			if cell != "" && strings.ContainsRune("=+-@\t\r", rune(cell[0])) {
				t.Errorf("a formula: %.60q", cell)
			}
			if strings.ContainsAny(cell, "\x1b\x07\u202e") {
				t.Errorf("a control character: %.60q", cell)
			}
		}
	}
	if got := rows[10][1]; got != "which H7 for rain, motorway, 40 min" {
		t.Errorf("a question with bare commas in the last column reads %q", got)
	}
	if !strings.HasPrefix(rows[1][1], "'=cmd") {
		t.Errorf("unguarded: %q", rows[1][1])
	}
}

// TestListRefusals: what cannot be a list is said, with the exit code of the
// contract.
func TestListRefusals(t *testing.T) {
	good := writeList(t, "q.csv", "question\nH7 low beam?\n")
	for _, c := range []struct {
		code int
		want string
		args []string
	}{
		{wrong.ExitUsage, "there is no such file", []string{"--from", "nowhere.csv", "--to", "a.csv"}},
		{wrong.ExitUsage, "needs --to", []string{"--from", good}},
		{wrong.ExitUsage, "must end in", []string{"--from", good, "--to", "answers.xls"}},
		{wrong.ExitUsage, "it would be lost", []string{"--from", good, "--to", good}},
		{wrong.ExitUsage, `--column "quetion"`, []string{"--from", good, "--to", filepath.Join(t.TempDir(), "a.csv"), "--column", "quetion"}},
		{wrong.ExitUsage, "there is no such folder", []string{"--from", good, "--to", filepath.Join(t.TempDir(), "no", "a.csv")}},
		{wrong.ExitUsage, "needs --from", []string{"--to", "a.csv", "H7?"}},
		{wrong.ExitUsage, "no question given", nil},
		{wrong.ExitBadData, "UTF-16", []string{"--from", writeList(t, "u16.csv", "\xff\xfeq\x00\n\x00"), "--tally"}},
		{wrong.ExitBadData, "no question in it", []string{"--from", writeList(t, "empty.csv", ""), "--tally"}},
		{wrong.ExitBadData, "not UTF-8", []string{"--from", writeList(t, "l1.txt", "H7 f\xfcr \xa350\n"), "--tally"}},
	} {
		code, stdout, stderr := run(t, append([]string{"reply"}, c.args...)...)
		if code != c.code || !strings.Contains(stderr, c.want) {
			t.Errorf("%v: exit %d, want %d; %q in: %s%s", c.args, code, c.code, c.want, stdout, stderr)
		}
	}
}

// TestListGoesOn: a list that was killed goes on where it stopped and ends with the
// same bytes as one that ran through.
func TestListGoesOn(t *testing.T) {
	if os.Getenv("STILLBRIGHT_LIST_CHILD") != "" {
		os.Exit(Main(Build{}, strings.Split(os.Getenv("STILLBRIGHT_LIST_CHILD"), "\n"), strings.NewReader(""), io.Discard, io.Discard))
	}
	questions := knowntest.Questions(t, "dev.jsonl")[:20]
	for i := range 25 { // needs that differ, so that the list takes a while
		questions = append(questions, fmt.Sprintf("H7 low beam projector, motorway, %d min, which LED?", 5+i))
	}
	from := writeList(t, "questions.jsonl", asLines(questions))
	whole, broken := filepath.Join(t.TempDir(), "answers.csv"), filepath.Join(t.TempDir(), "answers.csv")
	if code, _, stderr := run(t, "reply", "--from", from, "--to", whole); code != 0 {
		t.Fatalf("exit %d: %s", code, stderr)
	}
	args := []string{"reply", "--from", from, "--to", broken}
	child := exec.Command(os.Args[0], "-test.run=^TestListGoesOn$")
	child.Env = append(os.Environ(), "STILLBRIGHT_LIST_CHILD=stillbright\n"+strings.Join(args, "\n"), "STILLBRIGHT_TODAY=2026-11-25", "HOME="+t.TempDir())
	if err := child.Start(); err != nil {
		t.Fatal(err)
	}
	for range 600 { // until the first rows are known to be whole
		if state := list.ReadState(broken + ".part.json"); state.Rows > 0 {
			break
		}
		time.Sleep(20 * time.Millisecond)
	}
	if err := child.Process.Signal(syscall.SIGKILL); err != nil {
		t.Fatal(err)
	}
	_ = child.Wait() // killed
	done := list.ReadState(broken + ".part.json").Rows
	if _, err := os.Stat(broken); err == nil {
		t.Skip("the list was done before it could be killed")
	}
	if done == 0 {
		t.Fatal("no row was saved before the kill")
	}
	code, stdout, stderr := run(t, append(args, "--json")...)
	if code != 0 {
		t.Fatalf("exit %d: %s", code, stderr)
	}
	var summary struct{ Rows, Answered, Resumed int }
	if err := json.Unmarshal([]byte(stdout), &summary); err != nil {
		t.Fatal(err)
	}
	if summary.Resumed != done || summary.Rows != len(questions) {
		t.Errorf("%+v, want %d rows, %d of them resumed", summary, len(questions), done)
	}
	if a, b := readTable(t, whole), readTable(t, broken); !slices.EqualFunc(a, b, slices.Equal) {
		t.Error("the resumed list differs from the one that ran through")
	}
	for _, rest := range []string{broken + ".part", broken + ".part.json"} {
		if _, err := os.Stat(rest); err == nil {
			t.Errorf("%s is left", rest)
		}
	}
}

// TestListBeginsAnew: an interrupted run of other rows or settings is not gone on
// with.
func TestListBeginsAnew(t *testing.T) {
	to := filepath.Join(t.TempDir(), "answers.csv")
	interrupt := func(from string, args ...string) {
		t.Helper()
		ctx, cancel := context.WithCancel(context.Background())
		var out, errs bytes.Buffer
		env := &Env{In: strings.NewReader(""), Out: &out, Err: &errs, Getenv: func(name string) string {
			return map[string]string{"STILLBRIGHT_TODAY": "2026-11-25"}[name]
		}}
		go func() {
			for list.ReadState(to+".part.json").Rows == 0 {
				time.Sleep(5 * time.Millisecond)
			}
			cancel()
		}()
		if code := env.Run(ctx, append([]string{"stillbright", "reply", "--from", from, "--to", to}, args...)); code != wrong.ExitCancelled {
			t.Fatalf("exit %d: %s", code, errs.String())
		}
	}
	var list strings.Builder
	for i := range 300 {
		fmt.Fprintf(&list, "H7 low beam projector, motorway, %d min, which LED?\n", 5+i)
	}
	from := writeList(t, "q.txt", list.String())
	interrupt(from)
	other := writeList(t, "q.txt", "H11 low beam projector?\nH7 low beam projector?\n")
	code, stdout, stderr := run(t, "reply", "--from", other, "--to", to)
	if code != 0 || !strings.Contains(stderr, "begun anew") || !strings.Contains(stdout, "2 rows, 2 answered; answers in") {
		t.Errorf("exit %d: %s%s", code, stdout, stderr)
	}
	if rows := readTable(t, to); len(rows) != 3 {
		t.Errorf("%d rows", len(rows))
	}
}

package list

import (
	"bufio"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/gofrs/flock"

	"stillbright/recommend"
	"stillbright/recommend/answer"
	"stillbright/recommend/cli/wrong"
)

// Answers writes the answers of a list. They are collected in TO.part, and what is
// known to stand there whole in TO.part.json: rows, bytes, and a digest of the rows
// and settings they were made from. A killed run loses at most the last second; the
// same command cuts the part to the bytes that are whole and goes on behind the
// rows that are done. TO itself only ever holds all answers.
type Answers struct {
	to, kind string
	file     *os.File
	lock     *flock.Flock
	buffer   *bufio.Writer
	table    *csv.Writer // nil for JSONL
	written  int64       // bytes handed to the buffer
	State    answersState
	digest   hash.Hash // of settings and rows seen so far
	saved    time.Time

	settings string
	replace  func(name string, content []byte) error // writes a file in one step
	before   int                                     // rows that an earlier run had done
	passed   int                                     // rows passed over so far
}

// answersState is what TO.part.json holds.
type answersState struct {
	Format int    `json:"format"`
	Rows   int    `json:"rows"`
	Bytes  int64  `json:"bytes"`
	Digest string `json:"digest"`
}

// saveEvery is how often the state is brought to disk.
const saveEvery = time.Second

// KindOf is how answers are written, by the ending of the name.
func KindOf(name string) string {
	switch strings.ToLower(filepath.Ext(name)) {
	case ".csv":
		return "csv"
	case ".tsv", ".tab":
		return "tsv"
	case ".jsonl", ".ndjson":
		return "jsonl"
	}
	return ""
}

// Open begins a file of answers, or goes on with one that was interrupted.
// replace writes a file in one step.
func Open(to, settings string, replace func(name string, content []byte) error) (*Answers, error) {
	a := &Answers{to: to, kind: KindOf(to), settings: settings, replace: replace}
	a.State = ReadState(a.stateName())
	file, err := os.OpenFile(a.PartName(), os.O_RDWR|os.O_CREATE, 0o644)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, wrong.Use(filepath.Dir(to)+": there is no such folder", "make it first: mkdir -p "+filepath.Dir(to))
	}
	if err != nil {
		return nil, err
	}
	a.file = file
	a.lock = flock.New(a.PartName())
	if got, err := a.lock.TryLock(); err != nil || !got {
		return nil, errors.Join(fmt.Errorf("%s is being written by another run", to), file.Close())
	}
	if info, err := file.Stat(); err != nil || info.Size() < a.State.Bytes {
		a.State = answersState{}
	}
	if a.State.Rows == 0 {
		return a, a.begin()
	}
	return a, nil
}

// GoOn goes on behind the rows that an earlier run had done, when it had the same
// rows and settings; else it says false and begins anew.
func (a *Answers) GoOn(rows *rowReader) (bool, error) {
	digest := a.newDigest()
	for range a.State.Rows {
		r, err := rows.next()
		if errors.Is(err, io.EOF) {
			return false, a.begin()
		}
		if err != nil {
			return false, err
		}
		addRow(digest, r)
	}
	if hex.EncodeToString(digest.Sum(nil)) != a.State.Digest {
		return false, a.begin()
	}
	a.before, a.digest = a.State.Rows, digest
	return true, a.cut(a.State.Bytes)
}

func (a *Answers) newDigest() hash.Hash {
	digest := sha256.New()
	fmt.Fprintln(digest, a.settings)
	return digest
}

func addRow(digest hash.Hash, r row) {
	fmt.Fprintf(digest, "%d\x00%s\x00%s\x00", r.line, r.question, r.bad)
}

func (a *Answers) PartName() string  { return a.to + ".part" }
func (a *Answers) stateName() string { return a.to + ".part.json" }

func ReadState(name string) answersState {
	var state answersState
	content, err := os.ReadFile(name)
	if err != nil || json.Unmarshal(content, &state) != nil || state.Format != 1 || state.Rows < 0 || state.Bytes < 0 {
		return answersState{}
	}
	return state
}

// answerColumns are the columns of a table of answers.
var answerColumns = []string{"line", "question", "asks", "answer", "bulb", "command", "ask_back", "problem", "understood"}

// begin starts an empty file.
func (a *Answers) begin() error {
	a.before, a.State, a.digest = 0, answersState{Format: 1}, a.newDigest()
	if err := a.cut(0); err != nil {
		return err
	}
	if a.table != nil {
		return a.table.Write(answerColumns)
	}
	return nil
}

// cut drops what stands behind a place, and writes on from there.
func (a *Answers) cut(at int64) error {
	if err := a.file.Truncate(at); err != nil {
		return err
	}
	if _, err := a.file.Seek(at, io.SeekStart); err != nil {
		return err
	}
	a.written = at
	a.buffer = bufio.NewWriterSize(countingWriter{a}, 64<<10)
	if a.kind != "jsonl" {
		a.table = csv.NewWriter(a.buffer)
		if a.kind == "tsv" {
			a.table.Comma = '\t'
		}
	}
	return nil
}

type countingWriter struct{ a *Answers }

func (w countingWriter) Write(p []byte) (int, error) {
	n, err := w.a.file.Write(p)
	w.a.written += int64(n)
	return n, err
}

// skips says whether a row was done by an earlier run.
func (a *Answers) skips() bool {
	if a.passed >= a.before {
		return false
	}
	a.passed++
	return true
}

// write adds the answer of one row.
func (a *Answers) write(from string, one *answered) error {
	var err error
	if a.kind == "jsonl" {
		err = a.writeDocument(from, one)
	} else {
		err = a.table.Write(answerCells(one))
	}
	if err != nil {
		return err
	}
	addRow(a.digest, one.row)
	a.State.Rows++
	if time.Since(a.saved) > saveEvery {
		return a.save()
	}
	return nil
}

// writeDocument writes a reply, or the error of a bad row, on one line.
func (a *Answers) writeDocument(from string, one *answered) error {
	var document any = &one.reply
	if one.row.bad != "" {
		document = recommend.Problem{
			Schema: "stillbright/error/1", Code: wrong.ExitBadData, Message: one.row.bad, At: recommend.Word(fmt.Sprintf("%s:%d", from, one.row.line)),
		}
	}
	encoder := json.NewEncoder(a.buffer)
	encoder.SetEscapeHTML(false)
	return encoder.Encode(document)
}

// answerCells is one row of a table of answers.
func answerCells(one *answered) []string {
	r := &one.reply
	var bulbs, commands, asks []string
	for _, lamp := range r.Lamps {
		bulb := ""
		if lamp.Pick != nil {
			bulb = string(lamp.Pick.Answer.Bulb)
		}
		bulbs, commands = append(bulbs, bulb), append(commands, lamp.Command)
	}
	for _, back := range r.AskBack {
		asks = append(asks, back.Question)
	}
	if !slices.ContainsFunc(bulbs, func(id string) bool { return id != "" }) {
		bulbs = nil
	}
	cells := []string{
		fmt.Sprint(one.row.line), r.Question, strings.Join(r.Asks, " "), r.Answer, strings.Join(bulbs, "; "),
		strings.Join(commands, "; "), strings.Join(asks, " "), one.row.bad, understoodCell(one),
	}
	for i, cell := range cells {
		cells[i] = guardCell(cell)
	}
	return cells
}

// understoodCell says what was understood of a row; a row that was not read has none.
func understoodCell(one *answered) string {
	if one.row.bad != "" {
		return ""
	}
	return answer.Understood(&one.reply)
}

// guardCell keeps a spreadsheet from taking text for a formula: it gets an
// apostrophe in front. Blanks and quotes before the sign do not help it.
func guardCell(cell string) string {
	first := strings.TrimLeft(cell, " \"'\u00a0")
	if cell != "" && strings.ContainsRune("\t\r", rune(cell[0])) || first != "" && strings.ContainsRune("=+-@\t\r＝＋－＠", []rune(first)[0]) {
		return "'" + cell
	}
	return cell
}

// save brings everything to disk and then notes how much that is.
func (a *Answers) save() error {
	if a.table != nil {
		a.table.Flush()
		if err := a.table.Error(); err != nil {
			return err
		}
	}
	if err := a.buffer.Flush(); err != nil {
		return err
	}
	if err := a.file.Sync(); err != nil && !errors.Is(err, errors.ErrUnsupported) {
		return err
	}
	a.State.Bytes, a.State.Digest, a.saved = a.written, hex.EncodeToString(a.digest.Sum(nil)), time.Now()
	content, err := json.Marshal(a.State)
	if err != nil {
		return err
	}
	return a.replace(a.stateName(), content)
}

// keep leaves what is done for the next run.
func (a *Answers) keep() error { return errors.Join(a.save(), a.Close()) }

// done gives the answers their name.
func (a *Answers) done() error {
	err := a.save()
	if errClose := a.Close(); err == nil {
		err = errClose
	}
	if err == nil {
		err = os.Rename(a.PartName(), a.to)
	}
	if err != nil {
		return fmt.Errorf("%s was not written: %w", a.to, err)
	}
	if err := os.Remove(a.stateName()); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

func (a *Answers) Close() error { return errors.Join(a.file.Close(), a.lock.Close()) }

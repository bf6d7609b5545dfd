package ask

import (
	"context"
	"slices"
	"strings"
	"sync"

	"stillbright/recommend/plaintext"
)

// list is one list on the screen: what each row shows for what is typed. Its
// methods are called from the goroutines of the prompt.
type list struct {
	full    string // the question
	label   string // the same, or a short word if it was printed above
	hint    []string
	rows    []choice
	search  bool
	start   int
	wait    bool                       // Enter takes nothing at first
	screen  func() (columns, rows int) // now; it may be resized
	laidOut [2]int                     // columns and rows at the layout
	typed   []rune                     // before a resize
	pending *key                       // pressed after it
	size    int                        // rows of the list on the screen
	hot     map[rune]int               // keys that choose a row at once
	bold    bool
	long    bool // some rows are cut
	rank    func(query string, folded []string) []int

	abort  context.CancelFunc
	folded []string

	mutex sync.Mutex
	memo  map[string][]int
	order []int // rows shown, by position; empty: nothing matches
	crash any   // a panic in another goroutine, raised again in the caller's
}

// fewestColumns and fewestRows are the smallest screen a list is drawn on;
// below, the numbered list is used.
const (
	fewestColumns = 20
	fewestRows    = 8
	// searchColumns are kept free for typing.
	searchColumns = 16
	// margin holds promptui's page sign, the mark of the active row, and a
	// spare column for terminals that draw the page sign wide.
	margin = 5
)

// cutSign ends a row that is cut; it is in every font.
const cutSign = "..."

// Rows of the list that are shown though little room is left for them.
const leastRows = 3

func (l *list) columns() int {
	columns, _ := l.screen()
	return columns
}

// resized says that the screen is no longer the one of the layout; shrunk, that
// lines of the list may have been broken by it.
func (l *list) resized() bool {
	columns, rows := l.screen()
	return l.laidOut != [2]int{columns, rows}
}

func (l *list) shrunk() bool {
	columns, rows := l.screen()
	return columns < l.laidOut[0] || rows < l.laidOut[1]
}

// layout fits the list into the rows of the screen, below as many lines as
// have just been printed and in any case below some of the answers before. It
// says whether the label must be printed above the list because it is too wide
// for it.
func (l *list) layout(printed int) (above bool) {
	columns, rows := l.screen()
	l.laidOut = [2]int{columns, rows}
	taken := 1
	if l.search {
		taken = searchColumns
	}
	if plaintext.Width(l.label)+2+taken > l.columns() {
		above = true
		l.label = "choose"
		if l.search {
			l.label = "search"
		}
	}
	l.long = l.longRows()
	fixed := 2 + l.detailLines() // label and the line of the cursor
	if l.search {
		fixed++
	}
	if above {
		printed += len(plaintext.Wrap(l.full, l.columns()-1))
	}
	l.size = max(1, min(rows-fixed, max(leastRows, rows-fixed-max(rows/4, printed))))
	return above
}

// prepare folds the rows for the search and shows them all. Only options are
// searched, the ways out are always there.
func (l *list) prepare() {
	l.memo = map[string][]int{}
	for _, row := range l.rows {
		if row.option {
			l.folded = append(l.folded, fold(row.label)+"\n"+fold(row.answer.Value)+"\n"+fold(row.note))
		}
	}
	l.order = nil
	if l.wait {
		l.order = append(l.order, waitRow)
	}
	l.order = append(l.order, upTo(len(l.rows))...)
}

// emptyRow stands where nothing matches, waitRow before anything was chosen.
const (
	emptyRow = -1
	waitRow  = -2
)

// lookup gives the rows for a query, from memory if it was asked before. The
// ways out follow; without a match there is first an empty row.
func (l *list) lookup(query string) []int {
	query = strings.TrimSpace(query)
	if order, ok := l.memo[query]; ok {
		return order
	}
	order := l.rank(query, l.folded)
	switch {
	case query != "" && fold(query) == "", len(order) == 0: // a sign alone would match every row
		if order = l.wayOut(query); order == nil {
			order = []int{l.elsewhere(query)}
		}
	case query == "" && l.wait:
		order = append([]int{waitRow}, order...)
	}
	for i, row := range l.rows {
		if !row.option && !slices.Contains(order, i) {
			order = append(order, i)
		}
	}
	l.memo[query] = order
	return order
}

// elsewhere is the row for what is in no other, for words that match nothing; else
// the line that says so.
func (l *list) elsewhere(query string) int {
	if i := slices.IndexFunc(l.rows, func(row choice) bool { return row.other }); i >= 0 && fold(query) != "" {
		return i
	}
	return emptyRow
}

// wayOut is the way out that was typed where no option matches: "back", "don't
// know", or a part of it, or the sign for it in an entry. A sign that says
// nothing must not choose the first row.
func (l *list) wayOut(query string) []int {
	sign := query == unknownSign
	query = plainWords(query)
	for i, row := range l.rows {
		if row.option {
			continue
		}
		if sign && row.answer.State == Unknown || query != "" && strings.Contains(plainWords(row.label), query) {
			return []int{i}
		}
	}
	return nil
}

// plainWords is fold without the apostrophes that people leave out.
func plainWords(text string) string {
	return strings.NewReplacer("'", "", "\u2019", "").Replace(fold(text))
}

// visible is promptui's filter: whether a position is filled for this query.
func (l *list) visible(query string, slot int) (shown bool) {
	defer l.guard()
	l.mutex.Lock()
	defer l.mutex.Unlock()
	l.order = l.lookup(query)
	return slot < len(l.order)
}

// matches reports whether the query finds an option.
func (l *list) matches(query string) bool {
	if !l.search {
		return true
	}
	l.mutex.Lock()
	defer l.mutex.Unlock()
	return l.lookup(query)[0] >= 0
}

// at is the row at a position; negative for one that is no answer.
func (l *list) at(slot int) int {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	if slot < 0 || slot >= len(l.order) {
		return emptyRow
	}
	return l.order[slot]
}

// guard is deferred in the goroutines of the prompt: a panic there would end
// the program with the terminal in raw mode.
func (l *list) guard() {
	if crash := recover(); crash != nil {
		l.mutex.Lock()
		defer l.mutex.Unlock()
		if l.crash == nil {
			l.crash = crash
		}
		l.abort()
	}
}

// title is the search line up to what is typed.
func (l *list) title() string { return l.strong(l.label) + ": " }

// room is how many columns may be typed.
func (l *list) room() int { return l.columns() - 1 - plaintext.Width(l.label) - 2 - 1 }

// heading is the line above the rows: the question, or under a search line how
// to use it.
func (l *list) heading() string {
	if !l.search {
		return l.strong(l.label)
	}
	return l.hintLine("type to search")
}

func (l *list) active(slot int) string {
	return "> " + l.strong(plaintext.Truncate(l.rowText(slot), l.columns()-margin, cutSign))
}

func (l *list) inactive(slot int) string {
	return "  " + plaintext.Truncate(l.rowText(slot), l.columns()-margin, cutSign)
}

func (l *list) rowText(slot int) string {
	row := l.at(slot)
	switch row {
	case emptyRow:
		return "(nothing matches)"
	case waitRow:
		return "(type a name, or move down)"
	}
	return l.rows[row].text()
}

// longRows reports whether a row does not fit; it is then shown in full below.
func (l *list) longRows() bool {
	for _, row := range l.rows {
		if plaintext.Width(row.text()) > l.columns()-margin {
			return true
		}
	}
	return false
}

const fullTextLines = 2

// detailLines is the number of lines below the rows.
func (l *list) detailLines() int {
	lines := 0
	if l.long {
		lines += fullTextLines
	}
	if !l.search {
		lines++
	}
	return lines
}

// details are the lines below the rows: the active row in full if rows are
// cut, and the keys if the heading does not tell them.
func (l *list) details(slot int) string {
	var lines []string
	if l.long {
		var full []string
		if plaintext.Width(l.rowText(slot)) > l.columns()-margin {
			full = plaintext.Wrap(l.rowText(slot), l.columns()-margin)
		}
		for i := range fullTextLines {
			line := ""
			if i < len(full) {
				line = "    " + full[i]
			}
			lines = append(lines, line)
		}
	}
	if !l.search {
		lines = append(lines, l.hintLine("arrows move"))
	}
	return strings.Join(lines, "\n")
}

// hintLine names as many keys as fit.
func (l *list) hintLine(first string) string {
	line := first
	for _, piece := range append([]string{"Enter takes"}, l.hint...) {
		if plaintext.Width(line)+2+plaintext.Width(piece) > l.columns()-1 {
			break
		}
		line += ", " + piece
	}
	return plaintext.Truncate(line, l.columns()-1, cutSign)
}

func (l *list) strong(text string) string {
	if !l.bold {
		return text
	}
	return "\x1b[1m" + text + "\x1b[0m"
}

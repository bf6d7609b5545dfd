package sheet

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"

	"stillbright/data"
	"stillbright/data/quantity"
)

// habits is how a table writes numbers and days.
type habits struct {
	decimal  rune // '.' or ','; 0: the file does not show it
	dayFirst bool
	days     bool // dayFirst is known
	said     bool // it was said, and not found in the file
	currency string
}

// isBlankCell says whether a cell stands for nothing known.
func isBlankCell(text string) bool {
	switch strings.ToLower(strings.TrimSpace(text)) {
	case "", "-", "--", "–", "—", "?", "??", "n/a", "na", "n.a.", "#n/a", "tbd", "tba", "unknown", "not tested", "untested", "not measured", "no data", "nicht getestet", "k.a.", "null", "..", "...":
		return true
	}
	return false
}

// number reads a cell as a number of the wanted unit: digits with the table's
// decimal mark, and a unit behind them, of the column, or the wanted one.
func (h habits) number(text, columnUnit, want string) (float64, error) {
	value, unit, err := h.split(text)
	if err != nil {
		return 0, err
	}
	if unit == "" {
		unit = columnUnit
	}
	plain := strconv.FormatFloat(value, 'f', -1, 64)
	if len(plain) > 40 || value != 0 && (value < 1e-9 && value > -1e-9) {
		plain = strconv.FormatFloat(value, 'e', -1, 64)
	}
	if unit == "" || unit == want {
		return value, nil // exact: the unit of the record itself
	}
	result, err := quantity.ParseBare(plain+" "+unit, want)
	if err != nil {
		return 0, fmt.Errorf("%s: %s", quoted(text), withoutQuote(err))
	}
	return sixDigits(result), nil
}

// split cuts a cell into its number and what stands behind it.
func (h habits) split(text string) (float64, string, error) {
	digits, unit := splitNumber(spacedGroups(text))
	if digits == "" {
		return 0, "", fmt.Errorf("%s is not a number", quoted(text))
	}
	mark := h.decimal
	point, comma := strings.LastIndexByte(digits, '.'), strings.LastIndexByte(digits, ',')
	switch {
	case point >= 0 && comma >= 0:
		mark = '.'
		if comma > point {
			mark = ','
		}
	case comma >= 0 && !isGrouped(strings.TrimLeft(digits, "+-"), ','):
		mark = ','
	case point >= 0 && !isGrouped(strings.TrimLeft(digits, "+-"), '.'):
		mark = '.'
	case comma < 0 && point < 0:
		mark = '.'
	}
	if mark == 0 {
		return 0, "", &unsureError{quoted(text) + " can be a thousand and something, or a fraction; nothing else in the file tells which", "say which sign is the decimal mark: --decimal point, or --decimal comma"}
	}
	value, ok := parseDecimal(digits, mark)
	if !ok || value-value != 0 {
		return 0, "", fmt.Errorf("%s is not a number that can be read", quoted(text))
	}
	return value, unit, nil
}

// groupsOfThree is a number whose thousands are set apart by spaces or
// apostrophes: 1 150,5.
var groupsOfThree = data.LateRegexp(`^([+-]?[1-9]\d{0,2})((?:[ \x{a0}\x{202f}\x{2009}'’]\d{3})+)(\D|$)`)

func spacedGroups(text string) string {
	m := groupsOfThree().FindStringSubmatchIndex(text)
	if m == nil {
		return text
	}
	digits := strings.Map(func(r rune) rune {
		if r < '0' || r > '9' {
			return -1
		}
		return r
	}, text[m[4]:m[5]])
	return text[:m[4]] + digits + text[m[5]:]
}

// money reads a price: sign or code before or behind, of the head, or of the
// options.
func (h habits) money(text, columnCurrency string) (quantity.Money, error) {
	rest := strings.TrimSpace(text)
	sign := strings.TrimSpace(strings.TrimRightFunc(rest[:strings.IndexFunc(rest+"0", unicode.IsDigit)], func(r rune) bool { return strings.ContainsRune("+-.,", r) }))
	rest = strings.TrimSpace(strings.TrimPrefix(rest, sign))
	value, behind, err := h.split(rest)
	if err != nil {
		return quantity.Money{}, fmt.Errorf("%s is not a price", quoted(text))
	}
	currency := sign
	if currency == "" {
		currency = behind
	}
	if currency == "" {
		currency = columnCurrency
	}
	if currency == "" {
		currency = h.currency
	}
	money, err := quantity.ParseMoney(strings.TrimSpace(strconv.FormatFloat(value, 'f', -1, 64) + " " + currency))
	if err != nil {
		return money, fmt.Errorf("%s: %s", quoted(text), withoutQuote(err))
	}
	return money, nil
}

var months = []string{"jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"}

// dayParts cuts a day into three numbers; month is their place where a name
// says it, else -1.
func dayParts(text string) (parts [3]int, month int, ok bool) {
	text = strings.TrimSpace(text)
	if i := strings.Index(text, "T"); i > 0 && i+1 < len(text) && isDigit(text[i-1]) && isDigit(text[i+1]) {
		text = text[:i] // 2026-03-04T10:00; a T of OCT stays
	}
	fields := strings.FieldsFunc(text, func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune("./-,", r) })
	if len(fields) > 3 && strings.Contains(fields[3], ":") {
		fields = fields[:3]
	}
	if len(fields) != 3 {
		return parts, -1, false
	}
	month = -1
	for i, field := range fields {
		field = strings.ToLower(field)
		for n, name := range months {
			if strings.HasPrefix(field, name) && month < 0 {
				parts[i], month = n+1, i
			}
		}
		if month == i {
			continue
		}
		field = strings.TrimRight(field, "stndrh") // 1st, 2nd, 3rd, 4th
		n, err := strconv.Atoi(field)
		if err != nil || n < 0 || len(field) > 4 {
			return parts, -1, false
		}
		parts[i] = n
	}
	return parts, month, true
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// yearFirst says that 26-03-04 may be meant, as well as the 26th of March.
func yearFirst(text string, p [3]int, month int) bool {
	return month < 0 && p[0] > 12 && p[0] < 100 && p[2] < 100 && strings.Count(text, "-") >= 2
}

// day reads a day in any usual form.
func (h habits) day(text string) (data.Date, error) {
	p, month, ok := dayParts(text)
	if !ok {
		return "", fmt.Errorf("%s is not a day; YYYY-MM-DD is sure", quoted(text))
	}
	var y, m, d int
	switch {
	case yearFirst(text, p, month) && !h.said:
		return "", &unsureError{quoted(text) + " can be two days: the year may stand first or last", "write the year with four digits, or say that the day stands first: --days day_first"}
	case p[0] > 31: // 2026-03-04
		y, m, d = p[0], p[1], p[2]
	case month == 0: // Mar 4, 2026
		y, m, d = p[2], p[0], p[1]
	case month == 1:
		y, m, d = p[2], p[1], p[0]
	case p[0] > 12 || strings.Count(text, ".") >= 2: // 24/3/2026; dots are day first
		y, m, d = p[2], p[1], p[0]
	case p[1] > 12:
		y, m, d = p[2], p[0], p[1]
	case p[0] == p[1]:
		y, m, d = p[2], p[0], p[1]
	case !h.days:
		return "", &unsureError{quoted(text) + " can be two days; nothing else in the column tells whether the day or the month stands first", "say which: --days day_first, or --days month_first"}
	case h.dayFirst:
		y, m, d = p[2], p[1], p[0]
	default:
		y, m, d = p[2], p[0], p[1]
	}
	if y < 100 {
		y += 2000
	}
	return data.ParseDate(fmt.Sprintf("%04d-%02d-%02d", y, m, d))
}

// habitsOf finds the decimal mark and the order of days from all cells.
func habitsOf(t Table, heads headRow, m Mapping) habits {
	h := habits{currency: m.Currency}
	var seen marks
	first, second := 0, 0
	for _, row := range t.Rows[heads.at+1:] {
		for i, c := range m.Columns {
			text := row.cell(i)
			field, isField := meaningOf(c.Means)
			switch {
			case text == "":
			case c.Means == "date" || c.Means == "bought":
				if p, month, ok := dayParts(text); ok && month < 0 && p[0] <= 31 && strings.Count(text, ".") < 2 && !yearFirst(text, p, month) {
					if p[0] > 12 {
						first++
					}
					if p[1] > 12 {
						second++
					}
				}
			case isField && field.number != nil, c.Means == meansLux, c.Means == meansPrice, c.Means == meansHotAt:
				seen.see(row.Line, cell{strings.TrimLeft(text, "$£€ "), i + 1})
			}
		}
	}
	h.days, h.dayFirst, h.said = (first > 0) != (second > 0), first > 0, m.Days != ""
	switch m.Days {
	case "day_first":
		h.days, h.dayFirst = true, true
	case "month_first":
		h.days, h.dayFirst = true, false
	}
	switch {
	case m.Decimal == "comma":
		h.decimal = ','
	case m.Decimal == "point" || t.comma && seen.comma == 0 || t.typed:
		h.decimal = '.'
	case seen.comma > seen.point:
		h.decimal = ','
	case seen.point > 0:
		h.decimal = '.'
	}
	return h
}

// formulaStarts are what makes a spreadsheet program take text for a formula.
const formulaStarts = "=+-@\t\r"

// guard puts an apostrophe before text that would be taken for a formula.
func guard(text string) string {
	if text != "" && (strings.ContainsRune(formulaStarts, rune(text[0])) || text[0] == '\'') {
		return "'" + text
	}
	return text
}

// unguard takes it away again.
func unguard(text string) string {
	if len(text) > 1 && text[0] == '\'' && (strings.ContainsRune(formulaStarts, rune(text[1])) || text[1] == '\'') {
		return text[1:]
	}
	return text
}

package question

import (
	"strconv"
	"strings"
)

// kind says what a token is.
type kind uint8

const (
	word   kind = iota // letters, apostrophes and hyphens dropped
	number             // digits with a decimal sign
	sign               // one byte of punctuation or a sign
	comma              // ends a clause: , : ( ) and a dash between spaces
	stop               // ends a sentence: . ! ? ; and a new line
)

// joint says what stands between a token and the one before it.
type joint uint8

const (
	spaced joint = iota
	glued
	hyphened
)

// token is one word, number or sign of a question.
type token struct {
	text     string
	value    float64
	kind     kind
	joint    joint
	from, to int32 // bytes of the question
	sentence int32
	clause   int32 // counts on over sentences
	question bool  // a stop that is a question mark
	taken    bool  // belongs to a bulb size
	word     int32 // number of the word in the lexicon, 0 if none
	stem     [3]int32
	decimals bool
}

func letter(b byte) bool { return 'a' <= b && b <= 'z' }
func digit(b byte) bool  { return '0' <= b && b <= '9' }

// quotes says whether the quotation mark at i is one, and not the sign for feet or inches after a number.
func quotes(s string, i int) bool {
	if s[i] == '"' {
		if opening := strings.LastIndexByte(s[max(0, i-80):i], '"'); opening >= 0 {
			opening += max(0, i-80)
			if opening == 0 || !digit(s[opening-1]) && s[opening-1] != '\'' {
				return true // the closing mark of "under 40"
			}
		}
	}
	for i > 0 && (s[i-1] == '\'' || s[i-1] == '"') {
		i--
	}
	return i > 0 && !digit(s[i-1]) || i == 0 && len(s) > 2
}

// shortForms end in a full stop that ends no sentence.
const shortForms = " in ft min mins hr hrs approx ca vs incl etc no nr max rs st mr temp deg sec "

// split cuts folded text into tokens.
func split(f folded) []token {
	s := f.text
	toks := make([]token, 0, len(s)/4+8)
	between := spaced
	var sentence, clause int32
	add := func(t token, from, to int) {
		t.from, t.to = f.at[from], f.at[to]
		t.joint, t.sentence, t.clause = between, sentence, clause
		toks = append(toks, t)
		between = glued
	}
	for i := 0; i < len(s); {
		b := s[i]
		switch {
		case letter(b):
			end, marks := i, 0
			for end < len(s) && (letter(s[end]) || s[end] == '\'' && end+1 < len(s) && letter(s[end+1])) {
				if s[end] == '\'' {
					marks++
				}
				end++
			}
			if b == 'x' && i > 0 && digit(s[i-1]) {
				end, marks = i+1, 0 // 2xH7
			}
			t := token{kind: word, text: s[i:end]}
			if marks > 0 {
				t.text = strings.ReplaceAll(t.text, "'", "")
			}
			add(t, i, end)
			i = end
		case digit(b) || b == '.' && i+1 < len(s) && digit(s[i+1]) && (i == 0 || !digit(s[i-1]) && !letter(s[i-1]) && s[i-1] != '.'):
			end := numberEnd(s, i)
			t := token{kind: number, text: s[i:end]}
			t.value, t.decimals = numberValue(t.text)
			add(t, i, end)
			i = end
		case b == '-':
			before := i > 0 && (letter(s[i-1]) || digit(s[i-1]))
			after := i+1 < len(s) && (letter(s[i+1]) || digit(s[i+1]) || s[i+1] >= 0x80 || s[i+1] == '$')
			numbers := i > 0 && after && (digit(s[i-1]) || s[i-1] == '$' || s[i-1] >= 0x80) && (digit(s[i+1]) || s[i+1] >= 0x80 || s[i+1] == '$')
			switch {
			case numbers || !before && after && digit(s[i+1]):
				add(token{kind: sign, text: "-"}, i, i+1)
			case before && after:
				between = hyphened
			default:
				add(token{kind: comma, text: "-"}, i, i+1)
				clause++
			}
			i++
		case b == ' ':
			between = spaced
			i++
		case b == '/' && i+1 < len(s) && s[i+1] == '/':
			add(token{kind: comma, text: ","}, i, i+2)
			clause++
			i += 2
		case b == ',' || b == ':' || b == '(' || b == ')' || b == '[' || b == ']':
			add(token{kind: comma, text: s[i : i+1]}, i, i+1)
			clause++
			i++
		case b == '?' || b == '!' || b == ';' || b == '|' || b == '\n' || b == '.':
			if b == '.' && i > 0 && letter(s[i-1]) && len(toks) > 0 && strings.Contains(shortForms, " "+toks[len(toks)-1].text+" ") && toks[len(toks)-1].kind == word {
				add(token{kind: comma, text: ","}, i, i+1)
				clause++
				i++
				break
			}
			add(token{kind: stop, text: s[i : i+1], question: b == '?'}, i, i+1)
			sentence++
			clause++
			i++
		case (b == '\'' || b == '"') && quotes(s, i) || b == '*' || b == '_' || b == '^' || b == '~':
			between = spaced // quotation and emphasis
			i++
		default:
			add(token{kind: sign, text: s[i : i+1]}, i, i+1)
			i++
		}
	}
	return toks
}

// numberEnd finds where the number that starts at i ends. A comma is a thousands sign before three digits and a
// decimal sign before one or two; after a letter (H11,55W) neither comma nor full stop belongs to the number.
func numberEnd(s string, i int) int {
	end := i
	for end < len(s) && digit(s[end]) {
		end++
	}
	if i > 0 && letter(s[i-1]) {
		return end
	}
	run := func(from int) int {
		n := 0
		for from+n < len(s) && digit(s[from+n]) {
			n++
		}
		return n
	}
	for end < len(s) && s[end] == ',' && run(end+1) == 3 && end-i <= 3 {
		end += 4
	}
	if end < len(s) && (s[end] == '.' && run(end+1) > 0 || s[end] == ',' && end-i <= 3 && run(end+1) <= 2 && run(end+1) > 0) {
		end += 1 + run(end+1)
	}
	return end
}

// numberValue reads the digits of one number token; decimals says that it has a fraction part.
func numberValue(text string) (float64, bool) {
	if len(text) > 15 {
		text = text[:15]
	}
	point := strings.LastIndexAny(text, ".,")
	plain := text
	if point >= 0 {
		if text[point] == ',' && len(text)-point == 4 {
			point = -1
		}
		plain = strings.ReplaceAll(strings.ReplaceAll(text, ",", ""), ".", "")
		if point >= 0 {
			whole := strings.ReplaceAll(text[:point], ",", "")
			plain = whole + "." + text[point+1:]
		}
	}
	v, err := strconv.ParseFloat(plain, 64)
	if err != nil {
		return 0, false
	}
	return v, point >= 0
}

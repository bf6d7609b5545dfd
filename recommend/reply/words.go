package reply

import (
	"slices"
	"strings"
	"unicode"

	"stillbright/data"
)

// tidy makes a viewer's text fit for any place: line ends and tabs become a
// blank; other control characters, the bidirectional and invisible ones go, and
// bytes that are no UTF-8 become U+FFFD. The joiners some scripts need stay.
func tidy(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\t' || r == '\n' || r == '\v' || r == '\f' || r == '\r' || r == 0x85 || r == 0x2028 || r == 0x2029:
			return ' '
		case unicode.IsControl(r):
			return -1
		case r == 0x200C || r == 0x200D:
			return r
		case unicode.Is(unicode.Cf, r):
			return -1
		}
		return r
	}, text)
}

// said is the words of a question, folded, for choosing prepared texts.
type said []string

// wordsOf cuts a question into lower-case words. Apostrophes go, % becomes a word,
// a point stays inside a number.
func wordsOf(text string) said {
	if len(text) > MaxQuestion {
		text = text[:MaxQuestion]
	}
	var words said
	var word strings.Builder
	end := func() {
		if w := strings.Trim(word.String(), "."); w != "" {
			words = append(words, w)
		}
		word.Reset()
	}
	for _, r := range strings.ToLower(text) {
		switch {
		case unicode.IsLetter(r) || unicode.IsDigit(r) || r == '.':
			word.WriteRune(r)
		case r == '\'' || r == '’':
		case r == '%':
			end()
			words = append(words, "percent")
		default:
			end()
		}
	}
	end()
	return words
}

// phrase is a phrase of data.ReplyText.Words cut up: rows of words that must all
// stand in the question.
type phrase [][]string

func cutPhrase(text string) phrase {
	var rows phrase
	for _, part := range strings.Split(text, " & ") {
		rows = append(rows, strings.Split(part, " "))
	}
	return rows
}

func cutPhrases(texts ...string) []phrase {
	var all []phrase
	for _, text := range texts {
		all = append(all, cutPhrase(text))
	}
	return all
}

// hasAny says whether one of the phrases stands in the question.
func (s said) hasAny(phrases []phrase) bool { return slices.ContainsFunc(phrases, s.has) }

// has says whether a phrase stands in the question.
func (s said) has(p phrase) bool {
	for _, row := range p {
		if s.find(row) < 0 {
			return false
		}
	}
	return true
}

// find is the place of a row of words, or -1.
func (s said) find(row []string) int {
	for i := 0; i+len(row) <= len(s); i++ {
		all := true
		for j, word := range row {
			if !matches(word, s[i+j]) {
				all = false
				break
			}
		}
		if all {
			return i
		}
	}
	return -1
}

// matches compares one word of a phrase with one of the question: # stands for a
// number, ~ for any ending.
func matches(pattern, word string) bool {
	if tail, number := strings.CutPrefix(pattern, "#"); number {
		rest := strings.TrimLeft(word, "0123456789.")
		if rest == word || strings.HasPrefix(word, ".") {
			return false
		}
		pattern, word = tail, rest
		if tail == "" {
			return rest == ""
		}
	}
	if stem, ending := strings.CutSuffix(pattern, "~"); ending {
		return strings.HasPrefix(word, stem)
	}
	return pattern == word
}

// prepared is a prepared text with its phrases cut up.
type prepared struct {
	data.ReplyText
	phrases []phrase
}

func prepare(texts []data.ReplyText) []prepared {
	var all []prepared
	for _, text := range texts {
		all = append(all, prepared{text, cutPhrases(text.Words...)})
	}
	return all
}

// count is how many phrases of a prepared text stand in the question.
func (s said) count(text prepared) int {
	count := 0
	for _, p := range text.phrases {
		if s.has(p) {
			count++
		}
	}
	return count
}

// topicWords tell what a question that states nothing is about, and what the
// reader of slots has no slot for.
type topicWords struct{ headlamps, lights, depth, volts24, feedAC []phrase }

func newTopicWords() topicWords {
	return topicWords{
		volts24: cutPhrases("24v", "24 v", "24 volt~", "24volt~"),
		feedAC: cutPhrases("12v ac", "6v ac", "ac system", "ac magneto", "magneto & ac", "ac from the stator", "stator & ac", "alternating current",
			"ac light~", "ac lamp~", "ac headl~", "ac feed", "ac fed", "ac power~", "ac current", "ac supply", "ac volt~", "runs on ac", "lights on ac", "lamp on ac", "headlight on ac"),
		headlamps: cutPhrases("headlight~", "headlamp~", "head light~", "head lamp~", "low beam~", "high beam~", "dipped", "main beam~", "fog light~", "fog lamp~"),
		lights:    cutPhrases("led", "leds", "bulb~", "globe~", "light~", "lamp~", "beam~", "halogen~", "lumen~"),
		depth:     cutPhrases("position", "depth is right", "collar", "caliper~", "calliper~", "light centre", "light center"),
	}
}

package data

import (
	"errors"
	"fmt"
	"strings"
)

// ReplyFile is the file replies.yaml: what is known beside the tester's own
// record, as short texts for the questions that viewers ask.
type ReplyFile struct {
	Format  int         `yaml:"format" req:"1" min:"1" max:"1" doc:"version of this file format; 1"`
	Replies []ReplyText `yaml:"replies" req:"1" doc:"one record for each text; among equals the first is said"`
}

// ReplyText is one prepared text. It is chosen by what is asked and by words of
// the question. A phrase of Words is a row of words in lower case; word~ is any
// word that starts so, # a number, #k a number with k behind it, and " & " joins
// phrases that must all stand in the question, in any order.
type ReplyText struct {
	ID         string   `yaml:"id" req:"1" id:"1" doc:"short name of the text"`
	Asks       []string `yaml:"asks" req:"1" enum:"pick|fit|compare|law|flicker|aim|pattern|size|other" doc:"what must be asked"`
	Words      []string `yaml:"words" doc:"phrases of which one must stand in the question; left out: the general text of the ask"`
	Beams      []string `yaml:"beams" enum:"low|high|fog|both" doc:"beams of which one must be named"`
	Housing    string   `yaml:"housing" enum:"projector|reflector" doc:"housing that must be named"`
	Text       string   `yaml:"text" req:"1" doc:"two or three short sentences"`
	Short      string   `yaml:"short" req:"1" doc:"the same in one or two, for a comment: at most 200 characters"`
	Source     string   `yaml:"source" req:"1" doc:"where it comes from"`
	Confidence string   `yaml:"confidence" req:"1" enum:"read|read_secondary|computed|inferred|memory|common_practice" doc:"how it is known"`
}

// Longest texts, in characters: a reply is read on a telephone.
const (
	replyTextMost  = 480
	replyShortMost = 200
)

// Validate returns the first fault: no texts, an id used twice, a text that is too
// long, or a phrase that can never match.
func (f ReplyFile) Validate() error {
	if len(f.Replies) == 0 {
		return errors.New("replies: at least one is needed")
	}
	seen := map[string]bool{}
	for _, r := range f.Replies {
		if seen[r.ID] {
			return fmt.Errorf("reply %q: the id is used twice", r.ID)
		}
		seen[r.ID] = true
		if n := len([]rune(r.Text)); n > replyTextMost {
			return fmt.Errorf("reply %q: text of %d characters: must be at most %d", r.ID, n, replyTextMost)
		}
		if n := len([]rune(r.Short)); n > replyShortMost {
			return fmt.Errorf("reply %q: short text of %d characters: must be at most %d", r.ID, n, replyShortMost)
		}
		for _, words := range r.Words {
			if !isPhrase(words) {
				return fmt.Errorf("reply %q: phrase %q: must be words in lower case, word~, # or joined with &", r.ID, words)
			}
		}
	}
	return nil
}

// isPhrase says whether a phrase can match: words in lower case, each with at most
// one ~ at its end, parts joined with " & ".
func isPhrase(text string) bool {
	for _, part := range strings.Split(text, " & ") {
		for _, word := range strings.Split(part, " ") {
			stem := strings.TrimSuffix(word, "~")
			if stem == "" || strings.Trim(stem, "abcdefghijklmnopqrstuvwxyz0123456789.#") != "" {
				return false
			}
		}
	}
	return true
}

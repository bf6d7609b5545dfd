package data

import (
	"strings"
	"testing"
)

func TestRepliesValidate(t *testing.T) {
	good := ReplyText{ID: "a", Asks: []string{"law"}, Words: []string{"e mark", "insur~", "#k & colour~", "3 & 9"}, Text: "x", Short: "x"}
	if err := (ReplyFile{Replies: []ReplyText{good}}).Validate(); err != nil {
		t.Fatal(err)
	}
	long, short, upper, empty := good, good, good, good
	long.Text = strings.Repeat("é", replyTextMost+1)
	short.Short = strings.Repeat("é", replyShortMost+1)
	upper.Words = []string{"MOT"}
	empty.Words = []string{"a & & b"}
	for want, list := range map[string][]ReplyText{
		"at least one": nil, "twice": {good, good}, "text of 481": {long}, "short text of 201": {short},
		`phrase "MOT"`: {upper}, `phrase "a & & b"`: {empty},
	} {
		if err := (ReplyFile{Replies: list}).Validate(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want it to say %q", err, want)
		}
	}
}

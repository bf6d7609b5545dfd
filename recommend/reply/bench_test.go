package reply_test

import (
	"fmt"
	"strings"
	"testing"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/data/known/knowntest"
	"stillbright/recommend/reply"
)

// BenchmarkReply is one reply with its decision and what to ask back, for needs
// that were seen before and for needs that were not.
func BenchmarkReply(b *testing.B) {
	k, demo := knowntest.Knowledge(), known.Demo()
	k.Replies = known.Replies()
	for _, c := range []struct{ name, question string }{
		{"same", "H7 low beam projector, motorway, 40 min, which LED?"},
		{"new", "H7 low beam projector, motorway, %d min, which LED?"},
	} {
		b.Run(c.name, func(b *testing.B) {
			r := reply.NewReplier(&k, &demo, known.Words(), reply.ReplyOptions{Today: "2026-11-25", Seed: 1})
			for i := range b.N {
				question := c.question
				if c.name == "new" {
					question = fmt.Sprintf(question, 5+i%1000)
				}
				r.Reply(question)
			}
		})
	}
}

// BenchmarkReplyLongest is a reply to the longest texts that are read whole.
func BenchmarkReplyLongest(b *testing.B) {
	k := knowntest.Knowledge()
	k.Replies = known.Replies()
	r := reply.NewReplier(&k, &data.Catalog{Name: "none"}, known.Words(), reply.ReplyOptions{Today: "2026-11-25", Seed: 1})
	for name, text := range map[string]string{
		"sizes": strings.Repeat("H7 low, H4 both, 9005 high, H11 fog. ", 1000), "words": strings.Repeat("led in a lamp that flickers ", 1000),
	} {
		b.Run(name, func(b *testing.B) {
			for range b.N {
				r.Reply(text[:reply.MaxQuestion])
			}
		})
	}
}

package list

import (
	"context"
	"encoding/json"
	"io"
	"path/filepath"
	"runtime"
	"testing"

	"stillbright/data/known"
	"stillbright/data/known/knowntest"
	"stillbright/data/store"
	"stillbright/recommend/question"
	"stillbright/recommend/reply"
)

// endless is a list of so many rows that repeats its questions.
type endless struct {
	questions []string
	rows, at  int
	rest      []byte
	every     int            // rows between two looks at the memory
	look      func(rows int) // called there
}

func (e *endless) Read(p []byte) (int, error) {
	for len(e.rest) == 0 {
		if e.at == e.rows {
			return 0, io.EOF
		}
		text, err := json.Marshal(e.questions[e.at%len(e.questions)])
		if err != nil {
			return 0, err
		}
		e.rest = append(text, '\n')
		if e.at++; e.look != nil && e.at%e.every == 0 {
			e.look(e.at)
		}
	}
	n := copy(p, e.rest)
	e.rest = e.rest[n:]
	return n, nil
}

// answerList answers a list that comes from a reader, as replyList does with a file.
func answerList(t testing.TB, list io.Reader) *Job {
	t.Helper()
	k, demo := knowntest.Knowledge(), knowntest.Demo()
	k.Replies = known.Replies()
	rows, err := NewReader("list.jsonl", list, "")
	if err != nil {
		t.Fatal(err)
	}
	out, err := Open(filepath.Join(t.TempDir(), "answers.csv"), "", func(name string, content []byte) error { return store.WriteFile(name, content, 0) })
	if err != nil {
		t.Fatal(err)
	}
	job := &Job{Messages: io.Discard, From: "list.jsonl", Style: "full", Rows: rows, Replier: reply.NewReplier(&k, &demo, known.Words(), reply.ReplyOptions{Today: "2026-11-25", Seed: 1}), Out: out, Progress: NewProgress(io.Discard, 1)}
	if err := job.Run(context.Background()); err != nil {
		t.Fatal(err)
	}
	return job
}

func heap() uint64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}

// TestListMemoryIsFlat: the memory of a list does not grow with its length. The
// first rows fill what is kept for repeated needs.
func TestListMemoryIsFlat(t *testing.T) {
	if testing.Short() {
		t.Skip("answers ten thousand questions")
	}
	var early, late uint64
	list := &endless{questions: knowntest.Questions(t, "dev.jsonl"), rows: 10_000, every: 500, look: func(rows int) {
		switch rows {
		case 1000:
			early = heap()
		case 10_000:
			late = heap()
		}
	}}
	job := answerList(t, list)
	if job.Summary.Answered != 10_000 {
		t.Errorf("%d answered", job.Summary.Answered)
	}
	t.Logf("heap after 1,000 rows %.1f MB, after 10,000 rows %.1f MB", float64(early)/1e6, float64(late)/1e6)
	if late > early+4<<20 {
		t.Errorf("the heap grew from %d to %d bytes", early, late)
	}
}

// BenchmarkTenThousand reads ten thousand questions, and answers as many in full,
// of the labelled sets in turn.
func BenchmarkTenThousand(b *testing.B) {
	questions := append(knowntest.Questions(b, "dev.jsonl"), knowntest.Questions(b, "own.jsonl")...)
	b.Run("read", func(b *testing.B) {
		r := question.New(known.Words(), nil)
		for b.Loop() {
			for i := range 10_000 {
				r.Read(questions[i%len(questions)])
			}
		}
		b.ReportMetric(10_000*float64(b.N)/b.Elapsed().Seconds(), "questions/s")
	})
	b.Run("reply", func(b *testing.B) {
		var most uint64
		for b.Loop() {
			answerList(b, &endless{questions: questions, rows: 10_000, every: 1000, look: func(int) { most = max(most, heap()) }})
		}
		b.ReportMetric(10_000*float64(b.N)/b.Elapsed().Seconds(), "replies/s")
		b.ReportMetric(float64(most)/1e6, "MB-heap")
	})
}

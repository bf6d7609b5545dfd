package question

import (
	"strings"
	"testing"
)

// BenchmarkRead reads the labelled questions in turn; the target of issue 6 is 2,000 questions a second on one core.
func BenchmarkRead(b *testing.B) {
	r := newReader(b)
	set := readSet(b, "../../testdata/questions/dev.jsonl")
	b.ReportAllocs()
	b.ResetTimer()
	for i := 0; i < b.N; i++ {
		r.Read(set[i%len(set)].Q)
	}
	b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "questions/s")
}

// BenchmarkReadLongest reads a text of MaxBytes made of words that begin many phrases.
func BenchmarkReadLongest(b *testing.B) {
	r := newReader(b)
	text := strings.Repeat("no not without the dash shows a bulb out in my car 60 mm behind H11 low ", 200)[:MaxBytes]
	b.ResetTimer()
	for i := 0; i < b.N; i++ {
		r.Read(text)
	}
}

// BenchmarkNew builds a reader from the shipped words.
func BenchmarkNew(b *testing.B) {
	words := loadWords(b)
	b.ResetTimer()
	for i := 0; i < b.N; i++ {
		New(words, nil)
	}
}

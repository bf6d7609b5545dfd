package question

import (
	"os"
	"strings"
	"slices"
	"testing"
)

func TestKX(t *testing.T) {
	r := newReader(t)
	for _, w := range []float64{0, 4, 6, 10, 16, 30, 1000} {
		modelWeight = w
		line := ""
		for _, f := range strings.Split(os.Getenv("QUESTION_SETS"), ":") {
			n, ok := 0, 0
			for _, l := range readSet(t, f) {
				n++
				if slices.Contains(l.Asks, r.Read(l.Q).Asks[0]) {
					ok++
				}
			}
			line += " " + f[len(f)-12:] + " " + show(ok) + "/" + show(n)
		}
		t.Log(w, line)
	}
}

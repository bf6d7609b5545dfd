package cli

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"stillbright/recommend/cli/wrong"
	"stillbright/recommend/plaintext"
)

// widthLines are command lines whose answers are tables, sheets or prose.
var widthLines = []string{
	"pick --size H11 --housing projector --driving rural,highway --trip 45min --where US-VA",
	"pick --size H11 --housing projector --driving rural --where DE --full",
	"pick --size H1", "pick --car oskel-hatch --full", "fit ostermoor-s22-h11 --car oskel-hatch", "fit ostermoor-s22-h11 --car oskel-hatch --full",
	"reply whats_a_good_h11_for_my_projector_lows", "reply --style markdown whats_a_good_h7", "compare ostermoor-s22-h11 caldry-basic-h11 --housing projector",
	"compare ostermoor-s22-h11 caldry-basic-h11 hushwell-cool-h11 vintrock-9k-h11 --housing projector --full",
	"show ostermoor-s22-h11", "show ostermoor-s22-h11 --full", "size", "size 9005", "size HCR E2", "law DE", "law US-VA --beam low", "law KP",
	"aim --marking VOL --distance 25ft", "aim --full", "aim --height 650mm --dip 1.2%",
	"bench reduce @logger.csv --stock 700 --volts 13.2 --stock-volts 13.2",
	"pattern --grid @led.csv --stock-grid @halogen.csv --distance 10m --limits un-r112-b", "pattern --grade cutoff=2,hot_spot=3,stray=2,dark=3,width=2", "pattern --limits", "pattern --grade",
	"car list", "car show oskel-hatch", "catalog list", "catalog check --catalog @bench", "catalog import @tests.csv --catalog @bench --dry-run",
}

// TestNoLineIsWiderThanTheTerminal: every answer keeps to the width, but for
// words that are longer than it and for Markdown, which a reader breaks.
func TestNoLineIsWiderThanTheTerminal(t *testing.T) {
	folder := exampleFolder(t)
	for _, columns := range []int{40, 80, 120} {
		for _, line := range widthLines {
			words := strings.Split(line, " ")
			for i, word := range words {
				if name, ok := strings.CutPrefix(word, "@"); ok {
					words[i] = filepath.Join(folder, name)
				} else if strings.HasPrefix(line, "reply") {
					words[i] = strings.ReplaceAll(word, "_", " ")
				}
			}
			env, out := completer(t, fmt.Sprintf("COLUMNS=%d", columns))
			env.In = strings.NewReader("")
			if code := env.Run(t.Context(), append([]string{"stillbright"}, words...)); code != wrong.ExitDone && code != wrong.ExitNothing {
				t.Errorf("%s: exit code %d, %s", line, code, env.Err.(*bytes.Buffer))
			}
			if strings.Contains(line, "markdown") {
				continue
			}
			for _, text := range strings.Split(out.String(), "\n") {
				if plaintext.Width(text) > columns && len(strings.Fields(text)) > 1 {
					t.Errorf("%s at %d columns: %d wide: %s", line, columns, plaintext.Width(text), text)
				}
			}
		}
	}
}

package answer_test

import (
	"regexp"
	"strings"
	"testing"

	"stillbright/data/known/knowntest"
	"stillbright/recommend"
	"stillbright/recommend/answer"
)

// Where several bulbs measure alike, the first screen still fits 80 x 24, names all of
// them with their prices, and shows the figures of three at least.
func TestAlikeBulbsLeaveRoomForTheTable(t *testing.T) {
	k, demo := replyKnowledge(), knowntest.Demo()
	row := regexp.MustCompile(`(?m)^\d+~? +\S`)
	alike := 0
	for _, size := range []string{"H7", "H11", "H4"} {
		for _, housing := range []string{"projector", "reflector"} {
			for _, driving := range []string{"suburban", "rural", "city", "highway"} {
				d, err := recommend.Decide(k, &demo, recommend.Need{Size: size, Housing: recommend.Word(housing), Driving: []string{driving}}, recommend.Options{Seed: 1, Brief: true})
				if err != nil {
					t.Fatal(err)
				}
				if d.Answer.Kind != recommend.AnswerAnyOf {
					continue
				}
				alike++
				screen := answer.Pick(&d, answer.PickOptions{Width: 80})
				text := screen.Terminal(80, false)
				if lines := strings.Count(text, "\n"); lines > 23 {
					t.Errorf("%s %s %s: %d lines\n%s", size, housing, driving, lines, text)
				}
				if rows := len(row.FindAllString(text, -1)); rows < min(3, len(d.Ranked)) {
					t.Errorf("%s %s %s: %d rows of the table\n%s", size, housing, driving, rows, text)
				}
				head, _, _ := strings.Cut(text, "vs stock")
				for _, id := range d.Answer.AnyOf {
					for _, r := range d.Ranked {
						if name, _, _ := strings.Cut(r.Name, " ("); r.Bulb == id && !strings.Contains(head, name) {
							t.Errorf("%s %s %s: %s is not named above the table\n%s", size, housing, driving, name, text)
						}
					}
				}
			}
		}
	}
	if alike < 3 {
		t.Errorf("only %d of the purchases end in a tie", alike)
	}
}

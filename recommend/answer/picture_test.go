package answer

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"image/png"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/data/known/knowntest"
	"stillbright/recommend"
	"stillbright/recommend/sheets"
)

func demoKnowledge() recommend.Knowledge {
	return recommend.Knowledge{
		Sizes: known.Sizes(), Law: known.Law(), LawNotes: known.LawNotes(), Places: known.Places(), Rules: known.Rules(),
		Fit: known.Fit(), Pattern: known.Pattern(), Cautions: known.Cautions(), Claims: known.Claims(), Aim: known.Aim(),
	}
}

// hostileName means something in a terminal, in XML, in Markdown and to a reader
// from right to left, and is too long for any column.
const hostileName = "a|b\\ <svg onload=x> & \"q\" `c` *d* [e](http://x.invalid) @team #1\n\x1b[2J\u202e~ www.x.invalid and so on and on and on"

// compared is a comparison of demo bulbs; with a hostile name on all of them when
// asked.
func compared(t *testing.T, hostile bool, n recommend.Need, ids ...string) *recommend.CompareSheet {
	t.Helper()
	k, c := demoKnowledge(), knowntest.Demo()
	var bulbs []data.Bulb
	for i, b := range c.Bulbs {
		if hostile {
			c.Bulbs[i].Name = fmt.Sprint(i) + hostileName
		}
		if slices.Contains(ids, b.ID) {
			bulbs = append(bulbs, c.Bulbs[i])
		}
	}
	sheet, err := recommend.Compare(&k, &c, bulbs, n, recommend.Options{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	return &sheet
}

var sixBulbs = []string{"ostermoor-s22-h11", "ostermoor-flex-h11", "quennel-max-h11", "vintrock-9k-h11", "fennick-uno-h11", "brenmark-solar-h11"}

var projector = recommend.Need{Size: "H11", Housing: "projector", TripMin: 30}

func decided(t *testing.T, n recommend.Need) *recommend.Pick {
	t.Helper()
	k, c := demoKnowledge(), knowntest.Demo()
	pick, err := recommend.Decide(&k, &c, n, recommend.Options{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	return &pick
}

// TestPictures: each decodes, is small, is the same over two runs, has a title
// and one line that stands in the file, too; names from a catalog stay text.
func TestPictures(t *testing.T) {
	k, demo := demoKnowledge(), knowntest.Demo()
	bulb, _ := demo.Bulb("ostermoor-s22-h11")
	for name, make := range map[string]func() Plot{
		"triangle":         func() Plot { return TrianglePicture(decided(t, projector)) },
		"triangle keep":    func() Plot { return TrianglePicture(decided(t, recommend.Need{Size: "H4"})) },
		"heat":             func() Plot { return HeatPicture(decided(t, projector)) },
		"compare triangle": func() Plot { return TrianglePictureOf(compared(t, true, projector, sixBulbs...)) },
		"compare warm-up":  func() Plot { return WarmUpPicture(compared(t, true, projector, sixBulbs...)) },
		"compare heat":     func() Plot { return HeatPictureOf(compared(t, true, projector, sixBulbs...)) },
		"show": func() Plot {
			sheet := sheets.Show(&k, &demo, bulb, 0)
			return ShowPicture(&sheet)
		},
	} {
		t.Run(name, func(t *testing.T) {
			p := make()
			if line := p.Line(); len(line) < 40 {
				t.Errorf("the line is %q", line)
			}
			vector, err := p.File("svg")
			if err != nil {
				t.Fatal(err)
			}
			var root struct {
				Title string   `xml:"title"`
				Desc  string   `xml:"desc"`
				Text  []string `xml:"text"`
				Any   []struct {
					XMLName xml.Name
				} `xml:",any"`
			}
			if err := xml.Unmarshal(vector, &root); err != nil {
				t.Fatalf("svg: %v", err)
			}
			if root.Title == "" || root.Desc == "" || len(root.Text) < 8 {
				t.Errorf("svg has title %q, description %q and %d words", root.Title, root.Desc, len(root.Text))
			}
			for _, element := range root.Any {
				if !slices.Contains([]string{"rect", "polygon", "polyline", "line"}, element.XMLName.Local) {
					t.Errorf("svg holds <%s>", element.XMLName.Local)
				}
			}
			file, err := p.File("png")
			if err != nil {
				t.Fatal(err)
			}
			if _, err := png.Decode(bytes.NewReader(file)); err != nil {
				t.Error(err)
			}
			if len(file) > 60e3 {
				t.Errorf("png of %d bytes", len(file))
			}
			again, _ := make().File("png")
			vectorAgain, _ := make().File("svg")
			if !bytes.Equal(file, again) || !bytes.Equal(vector, vectorAgain) {
				t.Error("two runs differ")
			}
		})
	}
	if _, err := (Plot{}).File("gif"); err == nil {
		t.Error("a gif was drawn")
	}
}

// TestSpread: labels keep their order, stand apart and stay within the limits
// when there is room.
func TestSpread(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	for range 500 {
		places := make([]float64, 1+r.IntN(7))
		for i := range places {
			places[i] = 20 + 70*r.Float64()
		}
		got := spread(places, 9, 20, 90)
		for i := range got {
			if got[i] < 20-1e-9 || got[i] > 90+1e-9 {
				t.Fatalf("%v: %v leaves the limits", places, got)
			}
			for j := range i {
				if math.Abs(got[i]-got[j]) < 9-1e-9 || (got[i] < got[j]) != (places[i] < places[j]) {
					t.Fatalf("%v: %v", places, got)
				}
			}
		}
	}
}

// TestTriangleLines: every letter of the small triangle is the bulb with the
// largest weighted sum at those weights, computed here.
func TestTriangleLines(t *testing.T) {
	pick := decided(t, projector)
	list := recommend.Priorities(pick)
	values := map[string]recommend.Values{recommend.StockID: pick.Stock.Parts}
	for _, r := range pick.Ranked {
		values[r.Bulb] = r.Parts
	}
	lines := trianglePlain{list, pick.Need, nil}.Lines(0)
	seen := map[string]bool{}
	for row, line := range lines[:triangleRows] {
		cells := strings.Fields(strings.TrimSuffix(line, "all weight on light"))
		if len(cells) != row+1 {
			t.Fatalf("row %d has %d cells", row, len(cells))
		}
		output := 1 - float64(row)/(triangleRows-1)
		for i, cell := range cells {
			heat := 0.0
			if row > 0 {
				heat = (1 - output) * float64(i) / float64(row)
			}
			score := func(v recommend.Values) float64 {
				return output*v.Output + (1-output-heat)*v.Pattern + heat*v.Heat
			}
			best := 0.0
			for _, v := range values {
				best = max(best, score(v))
			}
			if cell == "*" {
				continue
			}
			seen[cell] = true
			if got := score(values[list[int(cell[0]-'A')].Bulb]); got < best-1e-9 {
				t.Errorf("row %d cell %d: %s has %g, the best %g", row, i, cell, got, best)
			}
		}
	}
	if len(seen) < 2 {
		t.Errorf("only %v in the triangle", seen)
	}
}

package answer

import (
	"slices"
	"strings"
	"testing"

	"stillbright/data/known"
	"stillbright/recommend"
	"stillbright/recommend/road"
	"stillbright/recommend/sheets"
)

func aimKnowledge() *recommend.Knowledge {
	return &recommend.Knowledge{Places: known.Places(), Aim: known.Aim(), Cautions: known.Cautions()}
}

func aimOf(t *testing.T, in sheets.AimRequest) *sheets.AimSheet {
	t.Helper()
	sheet, err := sheets.AimFor(aimKnowledge(), in)
	if err != nil {
		t.Fatalf("%+v: %v", in, err)
	}
	return &sheet
}

// Each first line carries the figure of the rule in the unit asked for.
func TestAimAnswer(t *testing.T) {
	high, higher := 650.0, 900.0
	for _, c := range []struct {
		in   sheets.AimRequest
		unit string
		want string
	}{
		{sheets.AimRequest{DistanceMM: 7620, Marking: "VOL"}, "in", "Put the cutoff 2.1 in below the lamp centre at 25 ft."},
		{sheets.AimRequest{DistanceMM: 7620, Marking: "VOR"}, "in", "Put the cutoff level with the lamp centre (0 in below) at 25 ft."},
		{sheets.AimRequest{DistanceMM: 10000, Dip: &road.Dip{Value: 1.2, Unit: "%"}}, "mm", "Put the cutoff 120 mm (12 cm) below the lamp centre at 10 m."},
		{sheets.AimRequest{DistanceMM: 10000, Where: "GB", HeightMM: &high}, "mm", "Keep the cutoff 50 to 275 mm (5 to 27.5 cm) below the lamp centre at 10 m."},
		{sheets.AimRequest{DistanceMM: 10000, Where: "GB", HeightMM: &high}, "cm", "Keep the cutoff 5 to 27.5 cm (50 to 275 mm) below the lamp centre at 10 m."},
		{sheets.AimRequest{DistanceMM: 10000, Where: "GB", HeightMM: &higher}, "mm", "Keep the cutoff 125 to 275 mm (12.5 to 27.5 cm) below the lamp centre at 10 m."},
		{sheets.AimRequest{DistanceMM: 10000}, "mm", "No aim figure is known for this lamp: tape the stock cutoff before the swap."},
		{sheets.AimRequest{DistanceMM: 10000, Beam: "high"}, "mm", "No aim figure is known for this lamp: tape the stock hot spot before the swap."},
	} {
		got, _, _ := strings.Cut(Aim(aimOf(t, c.in), AimOptions{Unit: c.unit}, 80).Terminal(80, false), "\n")
		if got != c.want {
			t.Errorf("%+v:\n got %s\nwant %s", c.in, got, c.want)
		}
	}
}

// Every default screen fits 80 columns and a terminal of 24 rows, names the
// things to do before and after, and prints no figure where none is known.
func TestAimScreens(t *testing.T) {
	high := 1100.0
	for _, beam := range []string{"low", "high", "fog"} {
		for _, marking := range []string{"", "VOL", "VOR", "VO", "UN"} {
			for _, where := range []recommend.Word{"", "GB", "DE", "US-PA", "US-CA", "JP", "AU"} {
				for _, load := range []string{"", "full"} {
					in := sheets.AimRequest{DistanceMM: 10000, HeightMM: &high, Beam: beam, Marking: marking, Where: where, Load: load}
					sheet := aimOf(t, in)
					for _, unit := range []string{"mm", "cm", "in"} {
						text := Aim(sheet, AimOptions{Unit: unit}, 80).Terminal(80, false)
						lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
						if len(lines) > screenRows {
							t.Errorf("%+v in %s: %d rows", in, unit, len(lines))
						}
						for _, line := range lines {
							if columns(line) > 80 {
								t.Errorf("%+v in %s: %d columns: %s", in, unit, columns(line), line)
							}
						}
						for _, word := range []string{"level floor", "tyres", "a person in the driver's seat", "tape the", "lock the exposure", "check again hot"} {
							if !strings.Contains(strings.Join(strings.Fields(text), " "), word) {
								t.Errorf("%+v: %q is missing", in, word)
							}
						}
						if sheet.DropMM == nil && strings.Contains(text, " below") {
							t.Errorf("%+v: a drop where none is known:\n%s", in, text)
						}
					}
				}
			}
		}
	}
}

// Left-hand traffic is the mirror of right-hand traffic.
func TestAimPictureMirrors(t *testing.T) {
	picture := func(traffic recommend.Word) []string {
		sheet := plateSheet()
		sheet.Traffic, sheet.Lamps = traffic, 1
		var rows []string
		for _, row := range (wallPicture{sheet, "mm"}).Lines(49 + 28)[1:] { // an odd wall has a middle column
			cells := []rune(row)
			rows = append(rows, string(append(cells, slices.Repeat([]rune{' '}, max(0, 49-len(cells)))...)[:49]))
		}
		return rows
	}
	right, left := picture("right"), picture("left")
	for i := range right {
		mirrored := []rune(right[i])
		slices.Reverse(mirrored)
		want := strings.Map(func(c rune) rune {
			if c == '/' {
				return '\\'
			}
			return c
		}, string(mirrored))
		if left[i] != want {
			t.Errorf("row %d:\nright %q\nleft  %q", i, right[i], left[i])
		}
	}
}

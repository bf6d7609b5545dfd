package cli

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A picture of the wall says where the cutoff lies: where the formula's log E falls
// steepest at 2.5 degrees left (UN R112, annex on the cutoff). It is a check, held
// against the rule that is asked for.
func TestAimByPhoto(t *testing.T) {
	truth, steepest := 0.0, 0.0
	for v := -1.0; v < 0.5; v += 0.001 {
		if fall := math.Log(wallBeams["stock"].at(-2.5, v-0.01) / wallBeams["stock"].at(-2.5, v+0.01)); fall > steepest {
			truth, steepest = -5000*math.Tan(v*math.Pi/180), fall
		}
	}
	folder := t.TempDir()
	picture := func(name string, s eveningShot) string {
		file := filepath.Join(folder, name)
		if err := os.WriteFile(file, s.jpeg(t, 1), 0o644); err != nil {
			t.Fatal(err)
		}
		return file
	}
	marks := picture("marks.jpg", eveningShot{room: 0.5, seconds: 1})
	lit := picture("left.jpg", eveningShot{beam: "stock", room: 0.004, seconds: 0.4})
	over := picture("right.jpg", eveningShot{beam: "stock", room: 0.004, seconds: 0.4, over: true, noExif: true})
	white := picture("white.jpg", eveningShot{beam: "stock", room: 0.004, seconds: 40})
	words := func(more ...string) []string {
		return append([]string{"aim", "--distance", "5m", "--marks-photo", marks}, more...)
	}
	for rule, want := range map[string]string{"0.65%": "within", "3%": "too_high", "0.01%": "too_low", "0.3%": "unclear"} {
		out, errs, code := runIn(t, words("--dip", rule, "--photo", lit, "--json")...)
		var s struct {
			Seen []struct {
				Verdict string
				Drop    float64 `json:"drop_mm"`
				Least   float64 `json:"least_mm"`
				Most    float64 `json:"most_mm"`
			}
		}
		if err := json.Unmarshal([]byte(out), &s); code != 0 || err != nil || len(s.Seen) != 1 {
			t.Fatalf("%s: %d %v %s%s", rule, code, err, out, errs)
		}
		if at := s.Seen[0]; at.Verdict != want || math.Abs(at.Drop-truth) > 8 || at.Least > truth || at.Most < truth || at.Most-at.Least > 60 {
			t.Errorf("%s: %+v, want %s, the formula has %.1f mm", rule, at, want, truth)
		}
	}
	for name, c := range map[string]struct {
		words []string
		code  int
		want  string
	}{
		"said":              {words("--dip", "3%", "--photo", lit), 0, "Too high: it dazzles."},
		"no approval":       {words("--dip", "0.65%", "--photo", lit), 0, "not an approval"},
		"no rule":           {words("--photo", lit), 0, "No figure is known for this lamp"},
		"turned over":       {words("--photo", over), 4, "upside down"},
		"white":             {words("--photo", white), 4, "clipped to white"},
		"no lamp":           {words("--photo", marks), 4, "no cutoff"},
		"no distance":       {[]string{"aim", "--photo", lit}, 2, "--distance is missing"},
		"marks and no beam": {words(), 2, "--marks-photo needs --photo"},
		"over its input":    {words("--photo", lit, "--plot", lit), 2, "must end in"},
	} {
		out, errs, code := runIn(t, c.words...)
		text := strings.Join(strings.Fields(out+errs), " ")
		if code != c.code || !strings.Contains(text, c.want) {
			t.Errorf("%s: %d %s", name, code, text)
		}
	}
}

// Flags of earlier versions say what to do instead.
func TestGonePhotoFlags(t *testing.T) {
	for flag, want := range goneFlags {
		_, errs, code := runIn(t, "pattern", "--photo", "a.png", "--stock-photo", "b.png", "--"+flag, "0.2")
		if code != 2 || !strings.Contains(strings.Join(strings.Fields(errs), " "), want[:30]) {
			t.Errorf("--%s: %d %s", flag, code, errs)
		}
	}
}

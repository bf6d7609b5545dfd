package cli

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"image"
	"image/color"
	"image/jpeg"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// The evening of the tests: a camera at the lamp, 1000 by 750 pixels, 64 degrees
// across, a wall at 5 m with six marks, the beams of patternbeams_test.go.
const eveningWide, eveningHigh = 1000, 750

type eveningShot struct {
	beam    string // empty: lamp off
	room    float64
	seconds float64
	over    bool // held upside down; Exif says so
	noExif  bool
	shift   int
}

func (s eveningShot) jpeg(t *testing.T, minute int) []byte {
	t.Helper()
	f := eveningWide / 2 / math.Tan(32*math.Pi/180)
	img := image.NewGray(image.Rect(0, 0, eveningWide, eveningHigh))
	for y := range eveningHigh {
		for x := range eveningWide {
			u, w := (float64(x-s.shift)-eveningWide/2+0.5)/f, (eveningHigh/2-0.5-float64(y))/f
			light := s.room
			if s.beam != "" {
				h, v := math.Atan(u)*180/math.Pi, math.Atan(w/math.Hypot(1, u))*180/math.Pi
				light += wallBeams[s.beam].at(h, v) / wallPeak * math.Pow(1+u*u+w*w, -1.5)
			}
			light *= s.seconds * eveningPaper(5*u, 5*w)
			code := 12.92 * light
			if light > 0.0031308 {
				code = 1.055*math.Pow(light, 1/2.4) - 0.055
			}
			at := image.Pt(x, y)
			if s.over {
				at = image.Pt(eveningWide-1-x, eveningHigh-1-y)
			}
			img.SetGray(at.X, at.Y, color.Gray{uint8(math.Round(255 * min(1, code)))})
		}
	}
	var file bytes.Buffer
	if err := jpeg.Encode(&file, img, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	if s.noExif {
		return file.Bytes()
	}
	// An Exif block by CIPA DC-008.
	var b []byte
	le := binary.LittleEndian
	b = append(b, "II*\x00\x08\x00\x00\x00"...)
	entry := func(tag, kind uint16, count, value uint32) {
		b = le.AppendUint16(b, tag)
		b = le.AppendUint16(b, kind)
		b = le.AppendUint32(b, count)
		b = le.AppendUint32(b, value)
	}
	orientation := uint32(1)
	if s.over {
		orientation = 3
	}
	b = le.AppendUint16(b, 2)
	entry(0x0112, 3, 1, orientation)
	entry(0x8769, 4, 1, 38)
	b = le.AppendUint32(b, 0)
	b = le.AppendUint16(b, 6)
	const after = 38 + 2 + 6*12 + 4
	entry(0x829A, 5, 1, after)
	entry(0x829D, 5, 1, after+8)
	entry(0x8827, 3, 1, 100)
	entry(0x9003, 2, 20, after+16)
	entry(0xA402, 3, 1, 1)
	entry(0xA403, 3, 1, 1)
	b = le.AppendUint32(b, 0)
	for _, v := range []uint32{uint32(s.seconds * 100000), 100000, 18, 10} {
		b = le.AppendUint32(b, v)
	}
	b = append(b, fmt.Sprintf("2026:11:28 21:%02d:00\x00", minute)...)
	body := append([]byte("Exif\x00\x00"), b...)
	out := append([]byte{}, file.Bytes()[:2]...)
	out = append(out, 0xFF, 0xE1)
	out = binary.BigEndian.AppendUint16(out, uint16(len(body)+2))
	return append(append(out, body...), file.Bytes()[2:]...)
}

// eveningPaper is what the wall, or a page with a mark, reflects at a place in metres.
func eveningPaper(x, y float64) float64 {
	for k := range 6 {
		dx, dy := math.Abs(x-float64(k%3-1)), math.Abs(y-(0.4-0.8*float64(k/3)))
		if dx > 0.105 || dy > 0.1485 {
			continue
		}
		if r := math.Hypot(dx, dy); r < 0.025 || r > 0.05 && r < 0.08 {
			return 0.05
		}
		return 1.1
	}
	return 1
}

// eveningFolder writes marks, stock, lamp off and bulb, in that order.
func eveningFolder(t *testing.T, bulb string, change func(s *eveningShot)) string {
	t.Helper()
	folder := t.TempDir()
	shots := []eveningShot{{room: 0.5, seconds: 1}}
	for _, name := range []string{"stock", "", bulb} {
		for _, seconds := range []float64{0.4, 1.6, 6.4} {
			shots = append(shots, eveningShot{beam: name, room: 0.0005, seconds: seconds})
		}
	}
	for i, s := range shots {
		if change != nil {
			change(&s)
		}
		// Names that say nothing, and not in order.
		name := filepath.Join(folder, fmt.Sprintf("IMG_%03d.jpg", (i*7)%31))
		if err := os.WriteFile(name, s.jpeg(t, i), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return folder
}

type eveningSheet struct {
	Score   float64
	Verdict string
	Glare   struct {
		Verdict string
		Why     string
	}
	Stray struct {
		Vs   *float64 `json:"vs_stock"`
		Low  *float64 `json:"vs_stock_low"`
		High *float64 `json:"vs_stock_high"`
	}
	HotSpot struct {
		H   float64 `json:"h_deg"`
		V   float64 `json:"v_deg"`
		Lux *float64
	} `json:"hot_spot"`
	Notes []string
}

func measuredEvening(t *testing.T, words ...string) eveningSheet {
	t.Helper()
	out, errs, code := runIn(t, append([]string{"pattern", "--json"}, words...)...)
	if code != 0 {
		t.Fatalf("%v: %d %s%s", words, code, out, errs)
	}
	var s eveningSheet
	if err := json.Unmarshal([]byte(out), &s); err != nil {
		t.Fatal(err)
	}
	return s
}

// A folder of a phone's files is sorted by the time in them; marks give scale, axis
// and roll, the exposures the tone curve and the levels. The formula's ratio of stray
// light is 1.16, as the grid of the same beams says; the dazzler is 8.3 times stock.
func TestEveningInAFolder(t *testing.T) {
	for bulb, want := range map[string]string{"clean": "within", "dazzle": "over"} {
		s := measuredEvening(t, "--photos", eveningFolder(t, bulb, nil), "--distance", "5m")
		if s.Glare.Verdict != want || s.Stray.Vs == nil {
			t.Fatalf("%s: %+v", bulb, s)
		}
		ratio := map[string]float64{"clean": 1.16, "dazzle": 8.28}[bulb]
		if math.Abs(*s.Stray.Vs/ratio-1) > 0.08 || *s.Stray.Low > ratio || *s.Stray.High < ratio {
			t.Errorf("%s: %.2f in %.2f to %.2f times stock, the formula has %.2f", bulb, *s.Stray.Vs, *s.Stray.Low, *s.Stray.High, ratio)
		}
		if bulb == "clean" && (math.Abs(s.HotSpot.H-0.96) > 0.1 || math.Abs(s.HotSpot.V+1.46) > 0.1) {
			t.Errorf("hot spot at %.2f, %.2f; the grid has it at 0.96, -1.46", s.HotSpot.H, s.HotSpot.V)
		}
	}
	// Upside down, as a phone turned over writes it, the answer is the same.
	up, over := eveningFolder(t, "dazzle", nil), eveningFolder(t, "dazzle", func(s *eveningShot) { s.over = true })
	a, b := measuredEvening(t, "--photos", up, "--distance", "5m"), measuredEvening(t, "--photos", over, "--distance", "5m")
	if b.Glare.Verdict != "over" || math.Abs(*a.Stray.Vs-*b.Stray.Vs) > 0.05 || math.Abs(a.HotSpot.H-b.HotSpot.H) > 0.02 {
		t.Errorf("upside down %+v, upright %+v", b, a)
	}
	// A phone that moved between the beams is followed by the marks.
	moved := eveningFolder(t, "dazzle", func(s *eveningShot) {
		if s.beam == "dazzle" {
			s.shift = 9
		}
	})
	if m := measuredEvening(t, "--photos", moved, "--distance", "5m"); m.Glare.Verdict != "over" || math.Abs(m.HotSpot.H-a.HotSpot.H) > 0.1 || !strings.Contains(strings.Join(m.Notes, " "), "had moved by 0.") {
		t.Errorf("moved: %+v", m)
	}
}

// Copies without Exif measure no dazzle, until a lux meter says how bright each beam is.
func TestEveningWithoutExif(t *testing.T) {
	folder := eveningFolder(t, "dazzle", func(s *eveningShot) { s.noExif = true })
	names := func(from, to int) (list []string) {
		for i := from; i < to; i++ {
			list = append(list, filepath.Join(folder, fmt.Sprintf("IMG_%03d.jpg", (i*7)%31)))
		}
		return list
	}
	words := []string{"--distance", "5m", "--marks-photo", names(0, 1)[0], "--stock-photo", names(1, 2)[0], "--photo", names(7, 8)[0]}
	if s := measuredEvening(t, words...); s.Glare.Verdict != "not_measured" || s.Stray.Vs != nil {
		t.Errorf("without Exif: %+v", s)
	}
	lux := func(name string) string {
		u, w := 0.0, -0.4/5
		return fmt.Sprintf("5=%.2flx", wallBeams[name].at(0, math.Atan(w)*180/math.Pi)*math.Pow(1+u*u+w*w, -1.5)/25)
	}
	s := measuredEvening(t, append(words, "--stock-lux-at", lux("stock"), "--lux-at", lux("dazzle"))...)
	if s.Glare.Verdict != "over" && s.Glare.Verdict != "unclear" || s.HotSpot.Lux == nil || math.Abs(*s.HotSpot.Lux/(wallPeak/25.0)-1) > 0.1 {
		t.Errorf("with lux readings: %+v, hot spot %v lux", s.Glare, s.HotSpot.Lux)
	}
}

func TestCheckPhotos(t *testing.T) {
	out, errs, code := runIn(t, "pattern", "--check-photos", eveningFolder(t, "clean", nil), "--distance", "5m")
	if code != 0 || !strings.Contains(out, "can be measured") || !strings.Contains(out, "All six marks found") {
		t.Errorf("a good evening: %d %s%s", code, out, errs)
	}
	for name, c := range map[string]struct {
		change func(s *eveningShot)
		want   string
	}{
		"white":   {func(s *eveningShot) { s.seconds *= 4 }, "add a shorter one"},
		"no Exif": {func(s *eveningShot) { s.noExif = true }, "how they were exposed"},
	} {
		out, _, code := runIn(t, "pattern", "--check-photos", eveningFolder(t, "clean", c.change), "--distance", "5m")
		if code != 4 && code != 2 || name == "white" && !strings.Contains(out, c.want) {
			t.Errorf("%s: %d %s", name, code, out)
		}
	}
}

// What a phone writes and is not read is refused with a word how to get what is.
func TestOtherPictures(t *testing.T) {
	folder := t.TempDir()
	for name, c := range map[string]struct{ content, want string }{
		"a.heic": {"\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic" + strings.Repeat("\x00", 64), "compatible"},
		"a.dng":  {"II*\x00\x08\x00\x00\x00\x01\x00\x12\xC6\x01\x00\x04\x00\x00\x00\x01\x04\x00\x00\x00\x00\x00\x00" + strings.Repeat("\x00", 64), "16-bit TIFF"},
	} {
		file := filepath.Join(folder, name)
		if err := os.WriteFile(file, []byte(c.content), 0o644); err != nil {
			t.Fatal(err)
		}
		_, errs, code := runIn(t, "pattern", "--photo", file, "--stock-photo", file, "--px-per-deg", "30", "--axis", "10,10")
		if code != 4 || !strings.Contains(errs, c.want) {
			t.Errorf("%s: %d %s", name, code, errs)
		}
	}
}

// runIn runs a command line and gives what it wrote and its exit code.
func runIn(t *testing.T, words ...string) (out, errs string, code int) {
	t.Helper()
	var o, e bytes.Buffer
	home := t.TempDir()
	env := &Env{In: strings.NewReader(""), Out: &o, Err: &e, Getenv: func(name string) string { return map[string]string{"HOME": home}[name] }}
	code = env.Run(t.Context(), append([]string{"stillbright"}, words...))
	return o.String(), e.String(), code
}

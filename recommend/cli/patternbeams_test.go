package cli

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"stillbright/data"
	"stillbright/recommend/beam"
	"stillbright/recommend/sheets"
)

// wallBeam is an invented low beam, intensity over degrees: a hot spot and a wide
// flood, cut off by a logistic edge that rises to the right, a veil above it, one
// dark hole. The files of testdata/beams that begin with low- are made from it.
type wallBeam struct {
	hotH, soft, veil, hole float64
}

var wallBeams = map[string]wallBeam{
	"stock":  {hotH: 0.8, soft: 0.09, veil: 0.006},
	"clean":  {hotH: 1.0, soft: 0.10, veil: 0.007},
	"faulty": {hotH: -2.4, soft: 0.16, veil: 0.011, hole: 0.75},
	"dazzle": {hotH: 0.9, soft: 0.35, veil: 0.05},
}

const (
	wallPeak   = 24000 // cd
	wallCutoff = -0.57 // degrees
)

func bell(x, s float64) float64 { return math.Exp(-x * x / (2 * s * s)) }

// at is the intensity in candela.
func (b wallBeam) at(h, v float64) float64 {
	cut := wallCutoff + min(max(0, 0.2*h), 1.5)
	e := bell(h-b.hotH, 3)*bell(v+1.4, 1.1) + 0.25*bell(h, 7)*bell(v+3, 2.2)
	e *= 0.005 + 0.995/(1+math.Exp((v-cut)/b.soft))
	e *= 1 - b.hole*bell(math.Hypot(h-3.5, v+2.4), 0.7)
	return wallPeak * (e + b.veil*bell(h, 12)*math.Exp(-max(0, v-cut)/4)/(1+math.Exp(-(v-cut)/0.3)))
}

// csv is the beam as a matrix of candela, rows closer about the cutoff.
func (b wallBeam) csv() []byte {
	var text strings.Builder
	text.WriteString("# Invented beam, for tests: recommend/cli/patternbeams_test.go makes it.\ncd deg")
	var columns []float64
	for h := -20.0; h <= 20; h++ {
		columns = append(columns, h)
		if h >= -6 && h < 6 {
			columns = append(columns, h+0.5)
		}
	}
	for _, h := range columns {
		fmt.Fprintf(&text, ",%g", h)
	}
	for i := -120; i <= 80; i++ { // twentieths of a degree
		if fine := i >= -32 && i <= 24; !fine && i%8 != 0 {
			continue
		}
		fmt.Fprintf(&text, "\n%.2f", float64(i)/20)
		for _, h := range columns {
			fmt.Fprintf(&text, ",%.0f", b.at(h, float64(i)/20))
		}
	}
	return []byte(text.String() + "\n")
}

// The photos: 30 pixels a degree, the axis at a pixel, full scale above the peak.
const (
	wallPixels       = 30.0
	wallAxisX        = 374
	wallAxisY        = 175
	wallWide, wallHi = 750, 360
)

// png is the beam on a flat wall as a camera with the sRGB curve (IEC 61966-2-1)
// and no noise writes it.
func (b wallBeam) png() []byte {
	picture := image.NewGray(image.Rect(0, 0, wallWide, wallHi))
	scale := wallPixels * 180 / math.Pi
	for y := range wallHi {
		for x := range wallWide {
			u, w := (float64(x)-wallAxisX)/scale, (wallAxisY-float64(y))/scale
			h, v := math.Atan(u)*180/math.Pi, math.Atan(w/math.Hypot(1, u))*180/math.Pi
			light := b.at(h, v) / wallPeak * 0.55 * math.Pow(1+u*u+w*w, -1.5)
			code := 12.92 * light
			if light > 0.0031308 {
				code = 1.055*math.Pow(light, 1/2.4) - 0.055
			}
			picture.Pix[y*picture.Stride+x] = uint8(math.Round(255 * min(1, code)))
		}
	}
	var file bytes.Buffer
	encoder := png.Encoder{CompressionLevel: png.BestCompression}
	if err := encoder.Encode(&file, picture); err != nil {
		panic(err)
	}
	return file.Bytes()
}

// The files of the scripts are what the formula says. UPDATE_BEAMS=1 writes them.
func TestBeamFilesAreTheFormula(t *testing.T) {
	for name, b := range wallBeams {
		for ending, content := range map[string][]byte{".csv": b.csv(), ".png": b.png()} {
			file := filepath.Join("../../testdata/beams", "low-"+name+ending)
			if os.Getenv("UPDATE_BEAMS") != "" {
				if err := os.WriteFile(file, content, 0o644); err != nil {
					t.Fatal(err)
				}
			}
			have, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if ending == ".csv" && !bytes.Equal(have, content) {
				t.Errorf("%s is not what the formula makes; UPDATE_BEAMS=1 writes it anew", file)
			}
			if ending == ".png" && !samePicture(t, have, content) {
				t.Errorf("%s is not what the formula makes; UPDATE_BEAMS=1 writes it anew", file)
			}
		}
	}
}

// TestSavedPointsAreTheBeam: the intensities that go into a record are those of
// the formula at their directions, dense enough about the cutoff, and hold the
// peak.
func TestSavedPointsAreTheBeam(t *testing.T) {
	k := knowledge()
	for name, b := range wallBeams {
		m, err := beam.ReadGrid(bytes.NewReader(b.csv()), 0)
		if err != nil {
			t.Fatal(err)
		}
		p, d, err := beam.FromGrid(beam.GridInput{Bulb: m}, beam.Options{Beam: data.BeamLow, Traffic: "right", Cutoff: beam.CutoffUN, Weights: k.Pattern})
		if err != nil {
			t.Fatal(err)
		}
		sheet := sheets.PatternOf(&k, p, d, nil)
		points := sheets.BeamPointsOf(&m, &sheet)
		if len(points) < 300 || len(points) > 2000 {
			t.Errorf("%s: %d points", name, len(points))
		}
		most, near := 0.0, 0
		for _, point := range points {
			want := b.at(point.H, point.V)
			// The grid is read between its rows, a fiftieth of the peak is lost at most.
			if math.Abs(point.CD-want) > 0.02*wallPeak && math.Abs(point.CD-want) > 0.1*want {
				t.Errorf("%s: %g cd at %g, %g; the formula has %g", name, point.CD, point.H, point.V, want)
			}
			most = math.Max(most, point.CD)
			if sheet.Cutoff.V != nil && math.Abs(point.V-*sheet.Cutoff.V) < 1.01 && math.Abs(point.H) < 6 {
				near++
			}
		}
		if sheet.HotSpot.Candela == nil || most < 0.98**sheet.HotSpot.Candela {
			t.Errorf("%s: the greatest of the points is %g", name, most)
		}
		if sheet.Cutoff.V != nil && near < 60 {
			t.Errorf("%s: %d points about the cutoff", name, near)
		}
	}
}

// samePicture compares pixels, because another version of Go may compress otherwise.
func samePicture(t *testing.T, a, b []byte) bool {
	t.Helper()
	var pixels [2][]uint8
	for i, file := range [][]byte{a, b} {
		picture, err := png.Decode(bytes.NewReader(file))
		if err != nil {
			t.Fatal(err)
		}
		gray, ok := picture.(*image.Gray)
		if !ok {
			return false
		}
		pixels[i] = gray.Pix
	}
	return bytes.Equal(pixels[0], pixels[1])
}

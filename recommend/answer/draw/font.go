package draw

import (
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
)

// goRegular is read when the first picture is drawn, so that starting the program
// costs nothing. It is the Go font (BSD licence), which is built in.
var goRegular = sync.OnceValues(func() (*opentype.Font, error) { return opentype.Parse(goregular.TTF) })

// faceOf is the font at a size in dots.
func faceOf(dots float64) (font.Face, error) {
	parsed, err := goRegular()
	if err != nil {
		return nil, err
	}
	return opentype.NewFace(parsed, &opentype.FaceOptions{Size: dots, DPI: 72, Hinting: font.HintingNone})
}

// TextWidth is how wide a text is in the font of the PNG, mm, at a type size in
// mm. Other fonts of the kind differ by a few percent.
func TextWidth(text string, size float64) float64 {
	const fine = 64.0 // dots of the measuring face
	face, err := faceOf(fine)
	if err != nil {
		return 0.55 * size * float64(len(text))
	}
	return float64(font.MeasureString(face, clean(text))) / 64 / fine * size
}

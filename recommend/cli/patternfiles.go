package cli

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"image"
	_ "image/jpeg" // what image.Decode can read
	_ "image/png"

	"io"
	"io/fs"
	"os"
	"strconv"
	"strings"

	_ "golang.org/x/image/tiff"

	"stillbright/data"
	"stillbright/recommend/beam"
)

// badFile is a file that is there and cannot be used.
func badFile(name string, err error) error {
	fault := data.Fault{File: name, Line: 1, Col: 1, Message: err.Error()}
	if m := filePlace().FindStringSubmatch(fault.Message); m != nil {
		fault.Line, _ = strconv.Atoi(m[1])
		if m[2] != "" {
			fault.Col, _ = strconv.Atoi(m[2])
		}
		fault.Message = strings.TrimPrefix(fault.Message, m[0])
	}
	return data.Faults{fault}
}

// filePlace is how the readers of files name a place.
var filePlace = data.LateRegexp(`^line (\d+)(?:, column (\d+))?: `)

// badPicture is badFile for a file that has no lines.
func badPicture(name string, err error) error {
	return data.Faults{{File: name, Message: err.Error()}}
}

// openFile opens a file that the user named; a folder is refused by its name.
func openFile(name string) (*os.File, error) {
	file, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	if info, err := file.Stat(); err != nil || info.IsDir() {
		file.Close()
		return nil, usage(name+": is a folder, a file is wanted", "")
	}
	return file, nil
}

// gridFiles are the flags of a measured grid.
type gridFiles struct {
	bulb, stock string
	distanceM   float64
	apertureDeg *float64
}

func (g *gridFiles) measure(o beam.Options, limits []data.LimitTable) (p beam.Pattern, d beam.Drawing, bulb *beam.Measured, err error) {
	in := beam.GridInput{ApertureDeg: g.apertureDeg, Limits: limits}
	if in.Bulb, err = readGrid(g.bulb, g.distanceM); err != nil {
		return p, d, nil, err
	}
	if g.stock != "" {
		stock, err := readGrid(g.stock, g.distanceM)
		if err != nil {
			return p, d, nil, err
		}
		in.Stock = &stock
	}
	if p, d, err = beam.FromGrid(in, o); err != nil {
		return p, d, nil, badFile(g.bulb, err)
	}
	return p, d, &in.Bulb, nil
}

// readGrid reads a text grid, or an LM-63 file, told by how it begins.
func readGrid(name string, distanceM float64) (beam.Measured, error) {
	file, err := openFile(name)
	if err != nil {
		return beam.Measured{}, err
	}
	defer file.Close()
	text := bufio.NewReader(file)
	head, _ := text.Peek(5)
	read := func() (beam.Measured, error) { return beam.ReadGrid(text, distanceM) }
	if bytes.HasPrefix(head, []byte("IESNA")) || strings.HasSuffix(strings.ToLower(name), ".ies") {
		read = func() (beam.Measured, error) { return beam.ReadIES(text) }
	}
	m, err := read()
	var path *fs.PathError
	if errors.As(err, &path) {
		return m, err
	}
	if errors.Is(err, beam.ErrNoDistance) {
		return m, usage(name+": "+err.Error(), "--distance 10m")
	}
	if err != nil {
		return m, badFile(name, err)
	}
	return m, nil
}

// photoFiles are the flags of a pair of photos.
type photoFiles struct {
	evening
	longBulb, longStock string
	in                  beam.PhotoInput
}

func (p *photoFiles) measure(o beam.Options) (pattern beam.Pattern, d beam.Drawing, err error) {
	in := p.in
	first := ""
	if p.single() {
		if first, err = p.pair(&in); err != nil {
			return pattern, d, err
		}
	} else {
		var made beam.PhotoInput
		if made, first, err = p.gather(in.Tone); err != nil {
			return pattern, d, err
		}
		made.BlurPx, made.SameExposure, made.StockLux = in.BlurPx, in.SameExposure, in.StockLux
		if p.plan == nil {
			made.PxPerDeg, made.AxisX, made.AxisY, made.TiltDeg = in.PxPerDeg, in.AxisX, in.AxisY, in.TiltDeg
		}
		in = made
	}
	if size := in.Bulb.Bounds().Size(); in.AxisX < 0 || in.AxisY < 0 || in.AxisX >= float64(size.X) || in.AxisY >= float64(size.Y) {
		return pattern, d, usage(fmt.Sprintf("--axis %g,%g: must be a pixel of the photo, from 0,0 to %d,%d", in.AxisX, in.AxisY, size.X-1, size.Y-1),
			"look the pixel straight ahead of the lamp up in the photo, counted from its upper left corner")
	}
	if pattern, d, err = beam.FromPhoto(in, o); err != nil {
		return pattern, d, badPicture(first, err)
	}
	return pattern, d, nil
}

// pair reads one picture of each beam, and the others that go with them.
func (p *photoFiles) pair(in *beam.PhotoInput) (first string, err error) {
	off := ""
	if len(p.off) > 0 {
		off = p.off[0]
	}
	for _, one := range []struct {
		name     string
		to       *image.Image
		exposure **beam.Exposure
	}{{p.bulb[0], &in.Bulb, &in.BulbExposure}, {p.stock[0], &in.Stock, &in.StockExposure}, {p.longBulb, &in.LongBulb, nil}, {p.longStock, &in.LongStock, nil}, {off, &in.Off, nil}} {
		if one.name == "" {
			continue
		}
		picture, exposure, err := readPhoto(one.name)
		if err != nil {
			return "", err
		}
		*one.to = picture
		if one.exposure != nil {
			*one.exposure = exposure
		}
	}
	in.Anchor = p.anchor
	return p.bulb[0], nil
}

// exifBytes is how much of a file beam.ReadExposure needs.
const exifBytes = 64 << 10

// readPhoto decodes a picture. Its header is looked at first, so that a huge one
// is refused before anything is set aside for it.
func readPhoto(name string) (image.Image, *beam.Exposure, error) {
	file, err := openFile(name)
	if err != nil {
		return nil, nil, err
	}
	defer file.Close()
	head := make([]byte, exifBytes)
	n, err := io.ReadFull(file, head)
	if err != nil && err != io.EOF && err != io.ErrUnexpectedEOF {
		return nil, nil, err
	}
	head = head[:n]
	again := func() error { _, err := file.Seek(0, io.SeekStart); return err }
	if err := again(); err != nil {
		return nil, nil, err
	}
	if err := otherPicture(head); err != nil {
		return nil, nil, badPicture(name, err)
	}
	if beam.IsDNG(head) {
		return readRaw(name, file)
	}
	config, _, err := image.DecodeConfig(bufio.NewReader(file))
	if err != nil {
		return nil, nil, badPicture(name, pictureFault(err))
	}
	if err := beam.CheckSize(config); err != nil {
		return nil, nil, badPicture(name, err)
	}
	if err := again(); err != nil {
		return nil, nil, err
	}
	picture, _, err := image.Decode(bufio.NewReaderSize(file, 1<<16))
	if err != nil {
		return nil, nil, badPicture(name, pictureFault(err))
	}
	var exposure *beam.Exposure
	if e, ok := beam.ReadExposure(head); ok {
		exposure = &e
		picture = beam.Upright(picture, e.Orientation)
	}
	return picture, exposure, nil
}

// otherPicture says what to do with kinds of files that phones write and that are not
// read here.
func otherPicture(head []byte) error {
	if len(head) > 12 && string(head[4:8]) == "ftyp" {
		return errors.New("this is HEIC or another container: set the phone's camera to write JPEG (often called compatible), or export the picture as JPEG at full size with its Exif data")
	}
	return nil
}

// mostRawBytes bounds a raw file: beam.MaxRawPixels of 16 bits, and its previews.
const mostRawBytes = 80 << 20

// readRaw develops a raw file.
func readRaw(name string, file io.Reader) (image.Image, *beam.Exposure, error) {
	content, err := io.ReadAll(io.LimitReader(file, mostRawBytes+1))
	if err != nil {
		return nil, nil, err
	}
	if len(content) > mostRawBytes {
		return nil, nil, badPicture(name, fmt.Errorf("the raw file is over %d MB", mostRawBytes>>20))
	}
	plane, err := beam.ReadDNG(content)
	if err != nil {
		return nil, nil, badPicture(name, fmt.Errorf("%w; or develop it to a 16-bit TIFF without a look, without sharpening, and say --tone linear or --tone srgb", err))
	}
	e, ok := beam.ReadExposure(content)
	if !ok {
		return plane, nil, nil
	}
	return beam.Upright(plane, e.Orientation), &e, nil
}

func pictureFault(err error) error {
	switch {
	case errors.Is(err, image.ErrFormat):
		return errors.New("not a picture that can be read: give a JPEG, PNG, TIFF or DNG file")
	case errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF):
		return errors.New("the picture is cut short")
	}
	return fmt.Errorf("the picture is damaged: %w", err)
}

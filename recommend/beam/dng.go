package beam

import (
	"encoding/binary"
	"errors"
	"fmt"
	"image"
	"math"
)

// Tags of a raw file (TIFF 6.0; DNG 1.4).
const (
	tagWidth, tagHeight, tagBits           = 256, 257, 258
	tagCompression, tagPhotometric         = 259, 262
	tagStrips, tagSamples, tagRowsPerStrip = 273, 277, 278
	tagStripBytes                          = 279
	tagTileWide, tagTileHigh               = 322, 323
	tagTiles, tagTileBytes                 = 324, 325
	tagSubIFDs                             = 330
	tagPatternSize, tagPattern             = 33421, 33422
	tagLinearization                       = 50712
	tagBlackSize, tagBlack, tagWhite       = 50713, 50714, 50717
	tagCropOrigin, tagCropSize             = 50719, 50720
	tagMatrix1, tagMatrix2                 = 50721, 50722
	tagActiveArea                          = 50829
	tagOpcodes2                            = 51009
	photoMosaic, photoLinearRaw            = 32803, 34892
)

// MaxRawPixels keeps a raw file under 300 MB while it is developed.
const MaxRawPixels = 25_000_000

// clippedRaw is the share of a sensor's white from which a sample counts as clipped.
const clippedRaw = 0.98

// ReadDNG develops a raw picture (DNG 1.4) to luminance: black taken off, the lens's
// shading by the file's own map, missing colours between neighbours, and the second
// row of the inverse of the camera's colour matrix (XYZ to camera, DNG 1.4 chapter 6).
// Nothing is sharpened, mapped or balanced, so light is in proportion. Read are files
// without compression and with lossless JPEG, as phones write them; others are refused
// by name.
func ReadDNG(file []byte) (*Plane, error) {
	t, err := openTIFF(file)
	if err != nil {
		return nil, err
	}
	d, err := t.rawDirectory()
	if err != nil {
		return nil, err
	}
	r, err := t.readRaw(d)
	if err != nil {
		return nil, err
	}
	if err := r.level(t, d); err != nil {
		return nil, err
	}
	r.floor = 2 / math.Max(1, d.number(tagWhite, math.Exp2(d.number(tagBits, 8))-1))
	flat, err := r.shading(d.bytes(tagOpcodes2))
	if err != nil {
		return nil, err
	}
	weights := t.luminance(d)
	p := r.develop(weights)
	p.flat = flat
	return p.cropped(t, d)
}

// tiff is an open file.
type tiff struct {
	data  []byte
	order binary.ByteOrder
	first ifd
}

// ifd is a directory: each tag with its kind and its bytes.
type ifd struct {
	order   binary.ByteOrder
	entries map[int]tiffEntry
}

type tiffEntry struct {
	kind uint16
	body []byte
	n    int
}

// tiffSizes are the bytes of one value of each kind.
var tiffSizes = [13]int{0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8}

func openTIFF(file []byte) (*tiff, error) {
	t := &tiff{data: file, order: binary.LittleEndian}
	if len(file) < 8 || string(file[:4]) != "II*\x00" && string(file[:4]) != "MM\x00*" {
		return nil, errors.New("raw file: it does not begin as one")
	}
	if file[0] == 'M' {
		t.order = binary.BigEndian
	}
	t.first = t.directory(uint64(t.order.Uint32(file[4:])))
	if len(t.first.entries) == 0 {
		return nil, errors.New("raw file: it is cut short")
	}
	return t, nil
}

// directory reads a directory; entries that point outside the file are left out.
func (t *tiff) directory(at uint64) ifd {
	d := ifd{t.order, map[int]tiffEntry{}}
	if at+2 > uint64(len(t.data)) {
		return d
	}
	for i := range uint64(t.order.Uint16(t.data[at:])) {
		p := at + 2 + 12*i
		if p+12 > uint64(len(t.data)) {
			break
		}
		kind, n := t.order.Uint16(t.data[p+2:]), uint64(t.order.Uint32(t.data[p+4:]))
		if int(kind) >= len(tiffSizes) || n == 0 || n > uint64(len(t.data)) {
			continue
		}
		size, from := n*uint64(tiffSizes[kind]), p+8
		if size > 4 {
			from = uint64(t.order.Uint32(t.data[p+8:]))
		}
		if from+size <= uint64(len(t.data)) {
			d.entries[int(t.order.Uint16(t.data[p:]))] = tiffEntry{kind, t.data[from : from+size], int(n)}
		}
	}
	return d
}

func (d ifd) bytes(tag int) []byte { return d.entries[tag].body }

// numbers are the values of a tag; none: what is usual.
func (d ifd) numbers(tag int, usual ...float64) []float64 {
	e, ok := d.entries[tag]
	if !ok {
		return usual
	}
	size := tiffSizes[e.kind]
	out := make([]float64, e.n)
	for i := range out {
		b := e.body[i*size:]
		switch e.kind {
		case 1, 7:
			out[i] = float64(b[0])
		case 3:
			out[i] = float64(d.order.Uint16(b))
		case 4:
			out[i] = float64(d.order.Uint32(b))
		case 5:
			out[i] = float64(d.order.Uint32(b)) / float64(d.order.Uint32(b[4:]))
		case 8:
			out[i] = float64(int16(d.order.Uint16(b)))
		case 9:
			out[i] = float64(int32(d.order.Uint32(b)))
		case 10:
			out[i] = float64(int32(d.order.Uint32(b))) / float64(int32(d.order.Uint32(b[4:])))
		case 11:
			out[i] = float64(math.Float32frombits(d.order.Uint32(b)))
		case 12:
			out[i] = math.Float64frombits(d.order.Uint64(b))
		}
	}
	return out
}

func (d ifd) number(tag int, usual float64) float64 { return d.numbers(tag, usual)[0] }

// rawDirectory is the directory with the greatest raw picture.
func (t *tiff) rawDirectory() (ifd, error) {
	all := []ifd{t.first}
	for i, at := range t.first.numbers(tagSubIFDs) {
		if i < 16 && at >= 0 {
			all = append(all, t.directory(uint64(at)))
		}
	}
	var best ifd
	size := 0.0
	for _, d := range all {
		n := d.number(tagWidth, 0) * d.number(tagHeight, 0)
		switch kind := d.number(tagPhotometric, 0); {
		case kind != photoMosaic && kind != photoLinearRaw:
		case n > size:
			best, size = d, n
		}
	}
	if size == 0 {
		return best, errors.New("raw file: it holds no raw picture that is known")
	}
	if size > MaxRawPixels {
		return best, fmt.Errorf("raw file: %.0f million pixels, at most %d million are developed: set the camera to fewer", size/1e6, MaxRawPixels/1_000_000)
	}
	w, h := int(best.number(tagWidth, 0)), int(best.number(tagHeight, 0))
	return best, CheckSize(image.Config{Width: w, Height: h})
}

// raw are the samples of a sensor.
type raw struct {
	w, h, parts int // parts is 1 for a mosaic, 3 for linear raw
	v           []float32
	white       []bool
	pattern     [][]int // mosaic: colour 0, 1, 2 by row and column, from the active area's corner
	left, top   int     // of the active area
	floor       float64
}

// readRaw decodes strips or tiles into samples as they are stored.
func (t *tiff) readRaw(d ifd) (*raw, error) {
	r := &raw{w: int(d.number(tagWidth, 0)), h: int(d.number(tagHeight, 0)), parts: int(d.number(tagSamples, 1))}
	linear := d.number(tagPhotometric, 0) == photoLinearRaw
	if linear && r.parts != 3 && r.parts != 1 || !linear && r.parts != 1 {
		return nil, fmt.Errorf("raw file: %d samples for each place are not known", r.parts)
	}
	bits, compression := int(d.number(tagBits, 8)), d.number(tagCompression, 1)
	switch {
	case compression != 1 && compression != 7:
		return nil, fmt.Errorf("raw file: its compression %g is not read: save it without losses (lossless JPEG) or without compression", compression)
	case compression == 1 && bits != 8 && bits != 16 && bits != 10 && bits != 12 && bits != 14:
		return nil, fmt.Errorf("raw file: %d bits for a sample are not known", bits)
	}
	tw, th := r.w, int(math.Min(d.number(tagRowsPerStrip, float64(r.h)), float64(r.h)))
	offsets, sizes := d.numbers(tagStrips), d.numbers(tagStripBytes)
	if _, tiled := d.entries[tagTiles]; tiled {
		tw, th = int(d.number(tagTileWide, 0)), int(d.number(tagTileHigh, 0))
		offsets, sizes = d.numbers(tagTiles), d.numbers(tagTileBytes)
	}
	if tw < 1 || th < 1 || tw > MaxPixels/th || len(offsets) != len(sizes) {
		return nil, errors.New("raw file: its parts have no size")
	}
	across, down := (r.w+tw-1)/tw, (r.h+th-1)/th
	if len(offsets) < across*down {
		return nil, errors.New("raw file: parts of the picture are missing")
	}
	least := 1.0 // bit for each sample, of a compressed file
	if compression == 1 {
		least = float64(bits)
	}
	held := 0.0
	for _, size := range sizes {
		held += 8 * size
	}
	if held < least*float64(r.w*r.h*r.parts)*0.99 {
		return nil, errors.New("raw file: it is cut short")
	}
	r.v = make([]float32, r.w*r.h*r.parts)
	for i := range across * down {
		from, size := uint64(offsets[i]), uint64(sizes[i])
		if from+size > uint64(len(t.data)) {
			return nil, errors.New("raw file: it is cut short")
		}
		samples, err := t.part(t.data[from:from+size], compression == 7, bits, tw*r.parts, th)
		if err != nil {
			return nil, err
		}
		x0, y0 := i%across*tw*r.parts, i/across*th
		for y := 0; y < th && y0+y < r.h; y++ {
			row := samples[min(len(samples), y*tw*r.parts):min(len(samples), (y+1)*tw*r.parts)]
			to := r.v[(y0+y)*r.w*r.parts+x0 : (y0+y+1)*r.w*r.parts]
			for x := range min(len(row), len(to)) {
				to[x] = float32(row[x])
			}
		}
	}
	return r, nil
}

// part decodes one strip or tile of row samples a line.
func (t *tiff) part(data []byte, jpeg bool, bits, row, rows int) ([]uint16, error) {
	if jpeg {
		samples, w, h, parts, err := losslessJPEG(data, row*rows)
		if err == nil && w*h*parts < row*rows && w*parts != row {
			err = errors.New("lossless JPEG: it has another size than its place")
		}
		return samples, err
	}
	stride := (row*bits + 7) / 8
	if len(data) < stride {
		return nil, errors.New("raw file: it is cut short")
	}
	rows = min(rows, len(data)/stride)
	out := make([]uint16, row*rows)
	for y := range rows {
		line := data[y*stride : (y+1)*stride]
		switch bits {
		case 8:
			for x := range row {
				out[y*row+x] = uint16(line[x])
			}
		case 16:
			for x := range row {
				out[y*row+x] = t.order.Uint16(line[2*x:])
			}
		default: // packed, the first bit first whatever the byte order (TIFF 6.0, FillOrder 1)
			for x := range row {
				v := 0
				for b := x * bits; b < (x+1)*bits; b++ {
					v = v<<1 | int(line[b/8]>>(7-b%8)&1)
				}
				out[y*row+x] = uint16(v)
			}
		}
	}
	return out, nil
}

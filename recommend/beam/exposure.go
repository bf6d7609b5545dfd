package beam

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"slices"
	"strings"
)

// Exposure is what a camera recorded of one picture.
type Exposure struct {
	Seconds     float64 // exposure time
	FNumber     float64
	ISO         float64
	Custom      bool   // the camera says it processed the picture in a special way
	AutoBalance bool   // white balance was automatic
	Manual      bool   // the camera says that time, aperture and sensitivity were set by hand
	Orientation int    // how the picture lies, 1 to 8 (CIPA DC-008); 0 is not stated
	Taken       string // when, as the camera wrote it: 2026:11:28 21:14:05; empty: not stated
}

// Known says whether time, aperture and sensitivity are all recorded.
func (e *Exposure) Known() bool { return e != nil && e.light() > 0 }

// EV is the exposure against another one, in powers of two; both must be known.
func (e *Exposure) EV(other *Exposure) float64 { return math.Log2(e.light() / other.light()) }

// light is the relative exposure t ISO / N^2; 0 when a figure is missing.
func (e Exposure) light() float64 {
	if !(e.Seconds > 0 && e.FNumber > 0 && e.ISO > 0) {
		return 0
	}
	return e.Seconds * e.ISO / (e.FNumber * e.FNumber)
}

// exposureGain is what the bulb photo is multiplied by to count as exposed like
// the stock photo; known is false when neither the files nor the user say it, and
// then no level of one picture may be held against the other.
func exposureGain(bulb, stock *Exposure, said bool) (gain float64, known bool, note string, err error) {
	for _, e := range []*Exposure{bulb, stock} {
		if e != nil && e.Custom {
			return 0, false, "", fmt.Errorf("the camera recorded special processing (HDR or the like): switch it off and take both again")
		}
	}
	if !bulb.Known() || !stock.Known() {
		if said {
			return 1, true, "the pictures do not say how they were exposed: you say that both were exposed alike", nil
		}
		return 1, false, "the pictures do not say how they were exposed, so their levels cannot be compared: bring the camera's own files, one lux reading of each beam (--lux-at, --stock-lux-at), or say --same-exposure if you locked it by hand", nil
	}
	ratio := stock.light() / bulb.light()
	switch {
	case math.Abs(ratio-1) <= exposureSlack:
		gain = 1
	case ratio > exposureMost || ratio < 1/exposureMost:
		return 0, false, "", fmt.Errorf("the exposures differ by a factor of %.3g: take both alike, at most %g can be allowed for", math.Max(ratio, 1/ratio), exposureMost)
	default:
		gain, note = ratio, fmt.Sprintf("the bulb was exposed %.2f times as long as stock by the camera's record: allowed for", 1/ratio)
	}
	if bulb.AutoBalance || stock.AutoBalance {
		if note != "" {
			note += "; "
		}
		note += "white balance was automatic: levels of bulb and stock compare less well"
	}
	return gain, true, note, nil
}

// Exif tags (CIPA DC-008) read here.
const (
	tagExposureTime   = 0x829A
	tagFNumber        = 0x829D
	tagExifPointer    = 0x8769
	tagISO            = 0x8827
	tagCustomRendered = 0xA401
	tagWhiteBalance   = 0xA403
	tagOrientation    = 0x0112
	tagProgram        = 0x8822
	tagTaken          = 0x9003
	tagMode           = 0xA402
)

// ReadExposure reads exposure time, aperture, sensitivity, processing and how the
// picture lies from the Exif block of a JPEG file (CIPA DC-008), of a PNG file
// (chunk eXIf) or of a TIFF file; it needs the first 64 kB only. ok is false when
// there is none or it cannot be read; a figure that is not stated is 0.
func ReadExposure(file []byte) (e Exposure, ok bool) {
	block := exifBlock(file)
	if len(block) < 8 {
		return e, false
	}
	var order binary.ByteOrder
	switch string(block[:4]) {
	case "II*\x00":
		order = binary.LittleEndian
	case "MM\x00*":
		order = binary.BigEndian
	default:
		return e, false
	}
	x := exif{block, order}
	first := x.directory(order.Uint32(block[4:]))
	entries := x.directory(uint32(first[tagExifPointer]))
	e.Seconds, e.FNumber, e.ISO = entries[tagExposureTime], entries[tagFNumber], entries[tagISO]
	e.Custom = entries[tagCustomRendered] != 0
	balance, stated := entries[tagWhiteBalance]
	e.AutoBalance = stated && balance == 0
	// CIPA DC-008: mode 1 and program 1 are manual.
	e.Manual = entries[tagMode] == 1 || entries[tagProgram] == 1
	if o := int(first[tagOrientation]); o >= 1 && o <= 8 {
		e.Orientation = o
	}
	e.Taken = x.text(uint32(first[tagExifPointer]), tagTaken)
	for _, v := range []float64{e.Seconds, e.FNumber, e.ISO} {
		if !(v >= 0 && v < 1e7) {
			return Exposure{}, false
		}
	}
	return e, true
}

// exifBlock finds the TIFF structure: in the APP1 segment of a JPEG file, in the
// eXIf chunk of a PNG file, or the file itself.
func exifBlock(file []byte) []byte {
	switch {
	case bytes.HasPrefix(file, []byte("II*\x00")), bytes.HasPrefix(file, []byte("MM\x00*")):
		return file
	case bytes.HasPrefix(file, []byte("\x89PNG\r\n\x1a\n")):
		for at := 8; at+8 <= len(file); {
			size := int64(binary.BigEndian.Uint32(file[at:]))
			if string(file[at+4:at+8]) == "eXIf" {
				return file[at+8 : min(int64(len(file)), int64(at)+8+size)]
			}
			if size > int64(len(file)) {
				break
			}
			at += 12 + int(size)
		}
		return nil
	}
	if len(file) < 4 || file[0] != 0xFF || file[1] != 0xD8 {
		return nil
	}
	for at := 2; at+4 <= len(file) && file[at] == 0xFF; {
		marker, size := file[at+1], int(binary.BigEndian.Uint16(file[at+2:]))
		if marker == 0xDA || size < 2 {
			return nil
		}
		body := file[at+4 : min(len(file), at+2+size)]
		if marker == 0xE1 && len(body) > 6 && string(body[:6]) == "Exif\x00\x00" {
			return body[6:]
		}
		at += 2 + size
	}
	return nil
}

type exif struct {
	block []byte
	order binary.ByteOrder
}

// directory reads the numbers of one directory; entries of other kinds and any
// that point outside the block are left out.
func (x exif) directory(at uint32) map[int]float64 {
	out := map[int]float64{}
	if at == 0 || uint64(at)+2 > uint64(len(x.block)) {
		return out
	}
	n := int(x.order.Uint16(x.block[at:]))
	for i := range n {
		p := int(at) + 2 + 12*i
		if p+12 > len(x.block) {
			break
		}
		entry := x.block[p : p+12]
		tag, kind, count := int(x.order.Uint16(entry)), x.order.Uint16(entry[2:]), x.order.Uint32(entry[4:])
		if count == 0 {
			continue
		}
		switch kind {
		case 3: // short
			out[tag] = float64(x.order.Uint16(entry[8:]))
		case 4: // long
			out[tag] = float64(x.order.Uint32(entry[8:]))
		case 5: // rational
			q := uint64(x.order.Uint32(entry[8:]))
			if q+8 <= uint64(len(x.block)) {
				if below := x.order.Uint32(x.block[q+4:]); below != 0 {
					out[tag] = float64(x.order.Uint32(x.block[q:])) / float64(below)
				}
			}
		}
	}
	return out
}

// IsDNG says whether a file is a raw picture (DNG 1.4: tag DNGVersion).
func IsDNG(head []byte) bool {
	if len(head) < 8 || string(head[:4]) != "II*\x00" && string(head[:4]) != "MM\x00*" {
		return false
	}
	var order binary.ByteOrder = binary.LittleEndian
	if head[0] == 'M' {
		order = binary.BigEndian
	}
	const tagDNGVersion = 0xC612
	x := exif{head, order}
	at := uint64(order.Uint32(head[4:]))
	if at+2 > uint64(len(head)) {
		return false
	}
	for i := range uint64(order.Uint16(head[at:])) {
		if p := at + 2 + 12*i; p+12 <= uint64(len(x.block)) && order.Uint16(head[p:]) == tagDNGVersion {
			return true
		}
	}
	return false
}

// text reads one line of text of a directory.
func (x exif) text(at uint32, tag uint16) string {
	if at == 0 || uint64(at)+2 > uint64(len(x.block)) {
		return ""
	}
	for i := range int(x.order.Uint16(x.block[at:])) {
		p := int(at) + 2 + 12*i
		if p+12 > len(x.block) {
			break
		}
		entry := x.block[p : p+12]
		count, from := uint64(x.order.Uint32(entry[4:])), uint64(x.order.Uint32(entry[8:]))
		if x.order.Uint16(entry) == tag && x.order.Uint16(entry[2:]) == 2 && count > 4 && count < 64 && from+count <= uint64(len(x.block)) {
			return strings.TrimRight(string(x.block[from:from+count]), "\x00 ")
		}
	}
	return ""
}

// median sorts its argument.
func median(v []float64) float64 {
	slices.Sort(v)
	return v[len(v)/2]
}

package beam

import (
	"encoding/binary"
	"fmt"
	"math"
	"slices"
)

// Exposure is what a camera recorded of one picture.
type Exposure struct {
	Seconds     float64 // exposure time
	FNumber     float64
	ISO         float64
	Custom      bool // the camera says it processed the picture in a special way
	AutoBalance bool // white balance was automatic
}

// light is the relative exposure t ISO / N^2; 0 when a figure is missing.
func (e Exposure) light() float64 {
	if !(e.Seconds > 0 && e.FNumber > 0 && e.ISO > 0) {
		return 0
	}
	return e.Seconds * e.ISO / (e.FNumber * e.FNumber)
}

// exposureGain is what the bulb photo is multiplied by to count as exposed like
// the stock photo.
func exposureGain(bulb, stock *Exposure) (gain float64, note string, err error) {
	if bulb == nil || stock == nil || bulb.light() == 0 || stock.light() == 0 {
		return 1, "the pictures do not say how they were exposed: both are taken to be exposed alike", nil
	}
	if bulb.Custom || stock.Custom {
		return 0, "", fmt.Errorf("the camera recorded special processing (HDR or the like): switch it off and take both again")
	}
	ratio := stock.light() / bulb.light()
	switch {
	case math.Abs(ratio-1) <= exposureSlack:
		gain = 1
	case ratio > exposureMost || ratio < 1/exposureMost:
		return 0, "", fmt.Errorf("the exposures differ by a factor of %.3g: take both alike, at most %g can be allowed for", math.Max(ratio, 1/ratio), exposureMost)
	default:
		gain, note = ratio, fmt.Sprintf("the bulb was exposed %.2f times as long as stock by the camera's record: allowed for", 1/ratio)
	}
	if bulb.AutoBalance || stock.AutoBalance {
		if note != "" {
			note += "; "
		}
		note += "white balance was automatic: levels of bulb and stock compare less well"
	}
	return gain, note, nil
}

// Exif tags (CIPA DC-008) read here.
const (
	tagExposureTime   = 0x829A
	tagFNumber        = 0x829D
	tagExifPointer    = 0x8769
	tagISO            = 0x8827
	tagCustomRendered = 0xA401
	tagWhiteBalance   = 0xA403
)

// ReadExposure reads exposure time, aperture, sensitivity and processing from the
// Exif block of a JPEG file (CIPA DC-008); it needs the first 64 kB only. ok is
// false when there is none or it cannot be read.
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
	for _, v := range []float64{e.Seconds, e.FNumber, e.ISO} {
		if !(v >= 0 && v < 1e7) {
			return Exposure{}, false
		}
	}
	return e, e.light() > 0
}

// exifBlock finds the TIFF structure in the APP1 segment.
func exifBlock(file []byte) []byte {
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

// median sorts its argument.
func median(v []float64) float64 {
	slices.Sort(v)
	return v[len(v)/2]
}

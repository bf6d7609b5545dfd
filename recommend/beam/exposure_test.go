package beam

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/jpeg"
	"math"
	"testing"
)

// withExif puts an Exif block (CIPA DC-008) into a JPEG file.
func withExif(t testing.TB, order binary.AppendByteOrder, mark string, custom uint16) []byte {
	t.Helper()
	var file bytes.Buffer
	if err := jpeg.Encode(&file, image.NewGray(image.Rect(0, 0, 64, 64)), nil); err != nil {
		t.Fatal(err)
	}
	var tiff []byte
	tiff = append(tiff, mark...)
	tiff = order.AppendUint32(tiff, 8)
	entry := func(tag, kind uint16, value uint32) {
		tiff = order.AppendUint16(tiff, tag)
		tiff = order.AppendUint16(tiff, kind)
		tiff = order.AppendUint32(tiff, 1)
		if kind == 3 {
			tiff = order.AppendUint16(tiff, uint16(value))
			tiff = order.AppendUint16(tiff, 0)
		} else {
			tiff = order.AppendUint32(tiff, value)
		}
	}
	tiff = order.AppendUint16(tiff, 1)
	entry(tagExifPointer, 4, 26)
	tiff = order.AppendUint32(tiff, 0)
	tiff = order.AppendUint16(tiff, 5)
	const rationals = 26 + 2 + 5*12 + 4
	entry(tagExposureTime, 5, rationals)
	entry(tagFNumber, 5, rationals+8)
	entry(tagISO, 3, 200)
	entry(tagCustomRendered, 3, uint32(custom))
	entry(tagWhiteBalance, 3, 1)
	tiff = order.AppendUint32(tiff, 0)
	for _, v := range []uint32{1, 30, 56, 10} {
		tiff = order.AppendUint32(tiff, v)
	}
	body := append([]byte("Exif\x00\x00"), tiff...)
	out := append([]byte{}, file.Bytes()[:2]...)
	out = append(out, 0xFF, 0xE1)
	out = binary.BigEndian.AppendUint16(out, uint16(len(body)+2))
	return append(append(out, body...), file.Bytes()[2:]...)
}

func TestReadExposure(t *testing.T) {
	for mark, order := range map[string]binary.AppendByteOrder{"II*\x00": binary.LittleEndian, "MM\x00*": binary.BigEndian} {
		e, ok := ReadExposure(withExif(t, order, mark, 1))
		if !ok || !near(e.Seconds, 1.0/30, 1e-12) || !near(e.FNumber, 5.6, 1e-12) || e.ISO != 200 || !e.Custom || e.AutoBalance {
			t.Errorf("%q: %+v %v", mark, e, ok)
		}
	}
	var plain bytes.Buffer
	if err := jpeg.Encode(&plain, image.NewGray(image.Rect(0, 0, 64, 64)), nil); err != nil {
		t.Fatal(err)
	}
	if _, ok := ReadExposure(plain.Bytes()); ok {
		t.Error("an exposure was found where none is")
	}
}

func FuzzReadExposure(f *testing.F) {
	f.Add(withExif(f, binary.LittleEndian, "II*\x00", 0))
	f.Add(withExif(f, binary.BigEndian, "MM\x00*", 0))
	f.Fuzz(func(t *testing.T, file []byte) {
		if e, ok := ReadExposure(file); ok && (e.light() < 0 || math.IsInf(e.light(), 0) || math.IsNaN(e.light())) {
			t.Fatalf("%+v", e)
		}
	})
}

func TestScaleFromMarks(t *testing.T) {
	// 1 m at 10 m is 5.7106 degrees as an arc tangent; at the axis a degree is
	// 10 m x pi/180 = 0.17453 m, so 600 pixels a metre make 104.72 a degree.
	got, err := ScaleFromMarks(100, 50, 700, 50, 1, 10)
	if err != nil || !near(got, 104.7198, 0.001) {
		t.Errorf("%.4f (%v), want 104.7198", got, err)
	}
	for _, c := range [][6]float64{{0, 0, 5, 0, 1, 10}, {0, 0, 500, 0, 0, 10}, {0, 0, 500, 0, 1, -1}, {0, 0, math.NaN(), 0, 1, 1}} {
		if _, err := ScaleFromMarks(c[0], c[1], c[2], c[3], c[4], c[5]); err == nil {
			t.Errorf("%v was taken", c)
		}
	}
}

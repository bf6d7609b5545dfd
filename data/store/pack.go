package store

import (
	"encoding/binary"
	"math"
)

// packer writes packed records. Each text stands once in a table.
type packer struct {
	bytes  []byte
	places map[string]uint64
	texts  []string
}

func newPacker() *packer { return &packer{places: map[string]uint64{}} }

func (w *packer) unsigned(n uint64) { w.bytes = binary.AppendUvarint(w.bytes, n) }
func (w *packer) signed(n int64)    { w.bytes = binary.AppendVarint(w.bytes, n) }

func (w *packer) flag(set bool) {
	if set {
		w.bytes = append(w.bytes, 1)
	} else {
		w.bytes = append(w.bytes, 0)
	}
}

func (w *packer) text(text string) {
	place, ok := w.places[text]
	if !ok {
		place = uint64(len(w.texts))
		w.places[text] = place
		w.texts = append(w.texts, text)
	}
	w.unsigned(place)
}

// How a number is packed: the two low bits of a word say how, the others hold it.
const (
	packedWhole      = iota // a whole number
	packedHundredths        // hundredths
	packedRaw               // its bits follow
)

// float packs a number exactly. Most figures of a bench are whole or have two
// decimals.
func (w *packer) float(value float64) {
	for form, unit := range []float64{packedWhole: 1, packedHundredths: 100} {
		scaled := math.Round(value * unit)
		if scaled >= 0 && scaled < 1<<50 && !math.Signbit(value) && scaled/unit == value {
			w.unsigned(uint64(scaled)<<2 | uint64(form))
			return
		}
	}
	w.unsigned(packedRaw)
	w.bytes = binary.LittleEndian.AppendUint64(w.bytes, math.Float64bits(value))
}

// unpacker reads packed records. After a fault it gives zeros, and err is set.
type unpacker struct {
	bytes []byte
	texts []string
	err   error

	passed  []uint64  // for each text of the table the rules that it has passed, a bit each
	numbers []float64 // memory for numbers that are pointed to
}

func (r *unpacker) fail() {
	r.err = errPacked
	r.bytes = nil
}

func (r *unpacker) unsigned() uint64 {
	n, size := binary.Uvarint(r.bytes)
	if size <= 0 {
		r.fail()
		return 0
	}
	r.bytes = r.bytes[size:]
	return n
}

func (r *unpacker) signed() int64 {
	n, size := binary.Varint(r.bytes)
	if size <= 0 {
		r.fail()
		return 0
	}
	r.bytes = r.bytes[size:]
	return n
}

func (r *unpacker) flag() bool {
	if len(r.bytes) == 0 || r.bytes[0] > 1 {
		r.fail()
		return false
	}
	set := r.bytes[0] == 1
	r.bytes = r.bytes[1:]
	return set
}

// count is a number of items that follow. Each takes a byte at least, so that no
// count can ask for more memory than a few hundred times the file.
func (r *unpacker) count() int {
	n := r.unsigned()
	if n > uint64(len(r.bytes)) || n > maxValues {
		r.fail()
		return 0
	}
	return int(n)
}

// text is a text of the table and its place there.
func (r *unpacker) text() (text string, at int) {
	n := r.unsigned()
	if n >= uint64(len(r.texts)) {
		r.fail()
		return "", -1
	}
	return r.texts[n], int(n)
}

// known says whether a text of the table has passed a rule before, and takes it
// that it does now: the caller fails otherwise.
func (r *unpacker) known(at, rule int) bool {
	if at < 0 {
		return true
	}
	if rule >= 64 {
		return false
	}
	if r.passed == nil {
		r.passed = make([]uint64, len(r.texts))
	}
	seen := r.passed[at]&(1<<rule) != 0
	r.passed[at] |= 1 << rule
	return seen
}

func (r *unpacker) float() float64 {
	n := r.unsigned()
	switch n & 3 {
	case packedWhole:
		return float64(n >> 2)
	case packedHundredths:
		return float64(n>>2) / 100
	}
	if n != packedRaw || len(r.bytes) < 8 {
		r.fail()
		return 0
	}
	bits := binary.LittleEndian.Uint64(r.bytes)
	r.bytes = r.bytes[8:]
	return math.Float64frombits(bits)
}

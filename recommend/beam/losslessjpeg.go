package beam

import (
	"encoding/binary"
	"errors"
)

// losslessJPEG decodes the lossless process of ITU-T T.81 (SOF3, Huffman), as raw
// files hold it: samples in order of lines, columns, components. most bounds how many
// there may be. Only what raw files use is read: one scan of all components, none of
// them subsampled, no restart intervals.
func losslessJPEG(data []byte, most int) (samples []uint16, wide, high, parts int, err error) {
	fail := func(what string) ([]uint16, int, int, int, error) {
		return nil, 0, 0, 0, errors.New("lossless JPEG: " + what)
	}
	if len(data) < 4 || data[0] != 0xFF || data[1] != 0xD8 {
		return fail("it does not begin as one")
	}
	var tables [4]*huffman
	precision := 0
	for at := 2; at+4 <= len(data); {
		if data[at] != 0xFF {
			return fail("a marker is missing")
		}
		marker, size := data[at+1], int(binary.BigEndian.Uint16(data[at+2:]))
		if size < 2 || at+2+size > len(data) {
			return fail("it is cut short")
		}
		body := data[at+4 : at+2+size]
		at += 2 + size
		switch marker {
		case 0xC4:
			if err := readHuffman(body, &tables); err != nil {
				return nil, 0, 0, 0, err
			}
		case 0xDD:
			if len(body) >= 2 && binary.BigEndian.Uint16(body) != 0 {
				return fail("it has restart intervals, which are not read")
			}
		case 0xC3:
			if len(body) < 6 || len(body) < 6+3*int(body[5]) {
				return fail("its frame is cut short")
			}
			precision, high, wide, parts = int(body[0]), int(binary.BigEndian.Uint16(body[1:])), int(binary.BigEndian.Uint16(body[3:])), int(body[5])
			if precision < 2 || precision > 16 || parts < 1 || parts > 4 || wide == 0 || high == 0 || wide*high*parts > most {
				return fail("its frame is not one of a raw picture")
			}
			for i := range parts {
				if body[6+3*i+1] != 0x11 {
					return fail("its components have different sizes")
				}
			}
		case 0xDA:
			if parts == 0 || len(body) < 1+2*parts+3 || int(body[0]) != parts {
				return fail("its scan does not hold all components")
			}
			s := scanner{data: data[at:]}
			use := make([]*huffman, parts)
			for i := range use {
				if use[i] = tables[body[2+2*i]>>4&3]; use[i] == nil {
					return fail("a Huffman table is missing")
				}
			}
			tail := body[1+2*parts:]
			samples, err = s.lines(wide, high, use, int(tail[0]), precision, uint(tail[2]&15))
			return samples, wide, high, parts, err
		case 0xC0, 0xC1, 0xC2:
			return fail("it is a JPEG with losses: save raw without losses")
		}
	}
	return fail("it holds no picture")
}

// huffman decodes a code by its length: T.81, annex F.2.2.3.
type huffman struct {
	least, most, first [17]int32 // by length: first code, last code, its value's index
	values             []byte
}

func readHuffman(body []byte, tables *[4]*huffman) error {
	for len(body) >= 17 {
		h := &huffman{}
		code, k := int32(0), int32(0)
		for length := 1; length <= 16; length++ {
			n := int32(body[length])
			h.least[length], h.first[length], h.most[length] = code, k, code+n-1
			code, k = (code+n)<<1, k+n
		}
		if int(k) > len(body)-17 || body[0]>>4 != 0 {
			return errors.New("lossless JPEG: a Huffman table is damaged")
		}
		h.values = body[17 : 17+k]
		tables[body[0]&3] = h
		body = body[17+k:]
	}
	return nil
}

// scanner reads bits of entropy-coded data; a byte 0xFF is followed by 0.
type scanner struct {
	data []byte
	at   int
	bits uint64
	have uint
	over int // bits read beyond the end
}

func (s *scanner) fill() {
	for s.have <= 48 {
		var b byte
		if s.at < len(s.data) && (s.data[s.at] != 0xFF || s.at+1 < len(s.data) && s.data[s.at+1] == 0) {
			b = s.data[s.at]
			if s.at++; b == 0xFF {
				s.at++
			}
		} else {
			s.over += 8
		}
		s.bits, s.have = s.bits<<8|uint64(b), s.have+8
	}
}

func (s *scanner) take(n uint) int32 {
	if s.have < n {
		s.fill()
	}
	s.have -= n
	return int32(s.bits >> s.have & (1<<n - 1))
}

// difference is the next coded difference: T.81, table H.2.
func (s *scanner) difference(h *huffman) (int32, bool) {
	code := int32(0)
	for length := 1; length <= 16; length++ {
		code = code<<1 | s.take(1)
		if code > h.most[length] || h.most[length] < h.least[length] {
			continue
		}
		n := uint(h.values[h.first[length]+code-h.least[length]])
		switch {
		case n == 0:
			return 0, true
		case n == 16:
			return 32768, true
		case n > 16:
			return 0, false
		}
		v := s.take(n)
		if v < 1<<(n-1) {
			v += -1<<n + 1
		}
		return v, true
	}
	return 0, false
}

// lines decodes all samples; predictor is 1 to 7 of T.81, table H.1.
func (s *scanner) lines(wide, high int, use []*huffman, predictor, precision int, point uint) ([]uint16, error) {
	if predictor < 1 || predictor > 7 || int(point) >= precision {
		return nil, errors.New("lossless JPEG: its predictor is none")
	}
	parts := len(use)
	row := wide * parts
	out := make([]uint16, row*high)
	for y := range high {
		line := out[y*row : (y+1)*row]
		var above []uint16
		if y > 0 {
			above = out[(y-1)*row : y*row]
		}
		for i := range line {
			var guess int32
			switch {
			case i < parts && y == 0:
				guess = 1 << (precision - int(point) - 1)
			case i < parts:
				guess = int32(above[i])
			case y == 0:
				guess = int32(line[i-parts])
			default:
				a, b, c := int32(line[i-parts]), int32(above[i]), int32(above[i-parts])
				guess = [8]int32{0, a, b, c, a + b - c, a + (b-c)>>1, b + (a-c)>>1, (a + b) / 2}[predictor]
			}
			d, ok := s.difference(use[i%parts])
			if !ok {
				return nil, errors.New("lossless JPEG: a code is damaged")
			}
			line[i] = uint16(guess + d)
		}
		// What was padded at the end is less than what the scanner reads ahead.
		if s.over > 64 {
			return nil, errors.New("lossless JPEG: it is cut short")
		}
	}
	if point > 0 {
		for i := range out {
			out[i] <<= point
		}
	}
	return out, nil
}

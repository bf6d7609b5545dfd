package beam

import (
	"fmt"
	"io"
	"strings"
)

// MaxIESAngles bounds each axis of an LM-63 file.
const MaxIESAngles = 2000

// ReadIES reads an IES LM-63 photometric file (1986 to 2002) of type A, the
// goniometry of headlamps: candela over horizontal and vertical angles. Horizontal
// angles that begin at 0 are mirrored to the left, as the format has it. Files of
// type B or C and files with a separate TILT file are refused. Errors name the line.
func ReadIES(r io.Reader) (Measured, error) {
	text, err := readBounded(r)
	if err != nil {
		return Measured{}, err
	}
	p := &iesParser{}
	if err := p.split(string(text)); err != nil {
		return Measured{}, err
	}
	return p.read()
}

type iesWord struct {
	text string
	line int
}

type iesParser struct {
	words   []iesWord
	next    int
	include bool
}

// split skips the keywords and keeps the words after the TILT line.
func (p *iesParser) split(text string) error {
	text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	line, tilt := 0, false
	for raw := range strings.SplitSeq(text, "\n") {
		line++
		if !tilt {
			kind, found := strings.CutPrefix(strings.ToUpper(strings.TrimSpace(raw)), "TILT=")
			if !found {
				continue
			}
			switch strings.TrimSpace(kind) {
			case "NONE":
			case "INCLUDE":
				p.include = true
			default:
				return fmt.Errorf("line %d: TILT=%.40q: must be NONE or INCLUDE", line, kind)
			}
			tilt = true
			continue
		}
		for word := range strings.FieldsFuncSeq(raw, func(r rune) bool { return r == ' ' || r == '\t' || r == ',' }) {
			p.words = append(p.words, iesWord{word, line})
		}
	}
	if !tilt {
		return fmt.Errorf("no TILT= line: not an LM-63 file")
	}
	return nil
}

func (p *iesParser) number(what string) (float64, int, error) {
	if p.next >= len(p.words) {
		return 0, 0, fmt.Errorf("the file ends before %s", what)
	}
	word := p.words[p.next]
	p.next++
	v, err := plainNumber(word.text)
	if err != nil {
		return 0, 0, fmt.Errorf("line %d: %s: %w", word.line, what, err)
	}
	return v, word.line, nil
}

func (p *iesParser) count(what string, most int) (int, error) {
	v, line, err := p.number(what)
	if err != nil {
		return 0, err
	}
	n := int(v)
	if float64(n) != v || n < 1 || n > most {
		return 0, fmt.Errorf("line %d: %s %g: must be a whole number from 1 to %d", line, what, v, most)
	}
	return n, nil
}

func (p *iesParser) skip(n int, what string) error {
	for range n {
		if _, _, err := p.number(what); err != nil {
			return err
		}
	}
	return nil
}

func (p *iesParser) angles(n int, what string) ([]float64, error) {
	angles := make([]float64, n)
	for i := range angles {
		v, line, err := p.number(what)
		if err != nil {
			return nil, err
		}
		if i > 0 && v <= angles[i-1] {
			return nil, fmt.Errorf("line %d: %s %g: must rise", line, what, v)
		}
		if v < -90 || v > 90 {
			return nil, fmt.Errorf("line %d: %s %g: beyond the sphere, must be in [-90, 90]", line, what, v)
		}
		angles[i] = v
	}
	return angles, nil
}

func (p *iesParser) read() (Measured, error) {
	fail := func(err error) (Measured, error) { return Measured{}, err }
	if p.include {
		if err := p.skip(1, "lamp to luminaire geometry"); err != nil {
			return fail(err)
		}
		n, err := p.count("number of tilt angles", MaxIESAngles)
		if err != nil {
			return fail(err)
		}
		if err := p.skip(2*n, "tilt angles and factors"); err != nil {
			return fail(err)
		}
	}
	if err := p.skip(2, "number of lamps and lumens per lamp"); err != nil {
		return fail(err)
	}
	multiplier, line, err := p.number("candela multiplier")
	if err != nil {
		return fail(err)
	}
	if multiplier <= 0 || multiplier > 1e6 {
		return fail(fmt.Errorf("line %d: candela multiplier %g: must be above 0 and at most 1e6", line, multiplier))
	}
	nv, err := p.count("number of vertical angles", MaxIESAngles)
	if err != nil {
		return fail(err)
	}
	nh, err := p.count("number of horizontal angles", MaxIESAngles)
	if err != nil {
		return fail(err)
	}
	if nv < 2 || nh < 2 || nv*nh > MaxGridPoints {
		return fail(fmt.Errorf("%d vertical and %d horizontal angles: at least 2 of each and at most %d values", nv, nh, MaxGridPoints))
	}
	kind, err := p.count("photometric type", 3)
	if err != nil {
		return fail(err)
	}
	if kind != 3 {
		return fail(fmt.Errorf("photometric type %c: only type A (code 3) describes a headlamp", "?CB"[kind]))
	}
	if err := p.skip(4, "units and luminous opening"); err != nil {
		return fail(err)
	}
	ballast, line, err := p.number("ballast factor")
	if err != nil {
		return fail(err)
	}
	if ballast <= 0 || ballast > 100 {
		return fail(fmt.Errorf("line %d: ballast factor %g: must be above 0 and at most 100", line, ballast))
	}
	if err := p.skip(2, "ballast-lamp factor and watts"); err != nil {
		return fail(err)
	}
	v, err := p.angles(nv, "vertical angle")
	if err != nil {
		return fail(err)
	}
	h, err := p.angles(nh, "horizontal angle")
	if err != nil {
		return fail(err)
	}
	var points []placed
	for _, hh := range h {
		for _, vv := range v {
			cd, line, err := p.number("candela value")
			if err != nil {
				return fail(err)
			}
			cd *= multiplier * ballast
			if cd < 0 || cd > 1e9 {
				return fail(fmt.Errorf("line %d: %g cd: must be from 0 to 1e9", line, cd))
			}
			points = append(points, placed{hh, vv, cd, line})
			if h[0] == 0 && hh > 0 {
				points = append(points, placed{-hh, vv, cd, line})
			}
		}
	}
	if p.next != len(p.words) {
		return fail(fmt.Errorf("line %d: %d words too many after the last candela value", p.words[p.next].line, len(p.words)-p.next))
	}
	return assemble(points, false, Candela, 0)
}

package sheet

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"stillbright/data"
)

// lines reads the text and cuts it at every kind of line end. UTF-8 and, with
// its mark, UTF-16 are read; bytes that are neither are taken for Latin-1, which
// is what old loggers write.
func (p *seriesParser) lines(r io.Reader) ([]string, error) {
	content, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	if err != nil {
		var path *fs.PathError
		if errors.As(err, &path) {
			return nil, fmt.Errorf("%s cannot be read: %w", p.options.Name, path.Err)
		}
		return nil, err
	}
	if len(content) > mostBytes {
		return nil, fileFault(p.options.Name, 1, 1, fmt.Sprintf("is larger than %d MB, which is no series of readings", mostBytes>>20), "")
	}
	text, ok := decodeText(content)
	if !ok {
		line, col := zeroByte(content)
		return nil, fileFault(p.options.Name, line, col, "is no text file", "export the sheet as CSV")
	}
	text = strings.ReplaceAll(text, "\r\n", "\n")
	text = strings.ReplaceAll(text, "\r", "\n")
	lines := strings.Split(text, "\n")
	if len(lines) > 1 && lines[len(lines)-1] == "" {
		lines = lines[:len(lines)-1]
	}
	p.last = len(lines)
	for i, line := range lines {
		if len(line) > mostLine {
			return nil, fileFault(p.options.Name, i+1, 1, fmt.Sprintf("the line has more than %d bytes, which is no reading", mostLine), "export the columns with the time and the light only")
		}
	}
	return lines, nil
}

// zeroByte is where a text holds its first zero byte, line and column from 1.
func zeroByte(content []byte) (line, col int) {
	at := bytes.IndexByte(content, 0)
	if at < 0 {
		return 1, 1
	}
	return 1 + bytes.Count(content[:at], []byte("\n")), at - bytes.LastIndexByte(content[:at], '\n')
}

func decodeText(content []byte) (text string, ok bool) {
	var order binary.ByteOrder
	switch {
	case bytes.HasPrefix(content, []byte{0xFF, 0xFE}):
		order = binary.LittleEndian
	case bytes.HasPrefix(content, []byte{0xFE, 0xFF}):
		order = binary.BigEndian
	}
	if order != nil {
		units := make([]uint16, 0, len(content)/2)
		for i := 2; i+1 < len(content); i += 2 {
			units = append(units, order.Uint16(content[i:]))
		}
		text = string(utf16.Decode(units))
		return text, !strings.ContainsRune(text, 0)
	}
	content = bytes.TrimPrefix(content, []byte("\uFEFF"))
	if bytes.IndexByte(content, 0) >= 0 {
		return "", false
	}
	if utf8.Valid(content) {
		return string(content), true
	}
	runes := make([]rune, len(content))
	for i, b := range content {
		runes[i] = rune(b)
	}
	return string(runes), true
}

// rows finds the separator and cuts every line that holds data.
func (p *seriesParser) rows(lines []string) {
	var texts []string
	var numbers []int
	for i, line := range lines {
		trimmed := strings.TrimSpace(line)
		if named, ok := strings.CutPrefix(strings.ToLower(trimmed), "sep="); ok && len(named) == 1 && len(texts) == 0 {
			p.separator, _ = utf8.DecodeRuneInString(named)
			continue
		}
		if strings.Trim(trimmed, ",;\t ") == "" || strings.HasPrefix(trimmed, "#") || strings.HasPrefix(trimmed, "%") || strings.HasPrefix(trimmed, "//") {
			continue
		}
		texts = append(texts, line)
		numbers = append(numbers, i+1)
	}
	if len(texts) == 0 {
		p.empty()
		return
	}
	if p.separator == 0 {
		looked := texts[:min(len(texts), data.SeparatorSample)]
		separator, cuts := data.Separator(looked)
		if 2*cuts >= len(looked) {
			p.separator = separator
		}
	}
	if p.separator == 0 {
		p.fault(numbers[0], 1, "no tab, semicolon or comma between the columns of most lines", "0,1001")
		return
	}
	for i, text := range texts {
		p.data = append(p.data, row{numbers[i], cut(text, p.separator)})
	}
}

func cut(line string, separator rune) []cell {
	var cells []cell
	for _, c := range data.CutLine(line, separator) {
		cells = append(cells, cell{c.Text, c.Col})
	}
	return cells
}

// number reads a number and the unit behind it with the file's decimal mark.
// "NaN" and the infinities are numbers, so that they can be refused by name.
func (p *seriesParser) number(text string) (value float64, unit string, ok bool) {
	digits, unit := splitNumber(text)
	if digits == "" {
		switch strings.ToLower(strings.TrimLeft(text, "+-")) {
		case "nan", "inf", "infinity", "1.#inf", "1.#qnan", "1,#inf":
			return nan(), "", true
		}
		return 0, "", false
	}
	value, ok = parseDecimal(digits, p.decimal)
	return value, unit, ok
}

// splitNumber cuts a number off the front of a text: sign, digits, marks and an
// exponent. digits is empty when there is none.
func splitNumber(text string) (digits, rest string) {
	runes := []rune(strings.ReplaceAll(text, "−", "-"))
	i, seen := 0, false
	for i < len(runes) {
		r := runes[i]
		switch {
		case r >= '0' && r <= '9':
			seen = true
		case r == '.' || r == ',':
		case (r == '+' || r == '-') && i == 0:
		case (r == 'e' || r == 'E') && seen && exponentFollows(runes[i+1:]):
			i++ // the sign or first digit of the exponent
			for i+1 < len(runes) && runes[i+1] >= '0' && runes[i+1] <= '9' {
				i++
			}
			return string(runes[:i+1]), strings.TrimSpace(string(runes[i+1:]))
		default:
			if !seen {
				return "", text
			}
			return string(runes[:i]), strings.TrimSpace(string(runes[i:]))
		}
		i++
	}
	if !seen {
		return "", text
	}
	return string(runes), ""
}

func exponentFollows(runes []rune) bool {
	if len(runes) > 1 && (runes[0] == '+' || runes[0] == '-') {
		runes = runes[1:]
	}
	return len(runes) > 0 && runes[0] >= '0' && runes[0] <= '9'
}

package grid

import (
	"bytes"
	"io"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// ReadLines reads the lines of a file, in UTF-8 or UTF-16.
func ReadLines(r io.Reader) ([]string, error) {
	data, err := io.ReadAll(r)
	if err != nil {
		return nil, err
	}
	for _, bom := range []string{"\xff\xfe", "\xfe\xff"} {
		if !bytes.HasPrefix(data, []byte(bom)) {
			continue
		}
		units := make([]uint16, 0, len(data)/2)
		for i := 2; i+1 < len(data); i += 2 {
			lo, hi := data[i], data[i+1]
			if bom[0] == 0xfe {
				lo, hi = hi, lo
			}
			units = append(units, uint16(lo)|uint16(hi)<<8)
		}
		data = []byte(string(utf16.Decode(units)))
	}
	if !utf8.Valid(data) {
		data = latin(data)
	}
	var out []string
	for line := range strings.SplitSeq(string(data), "\n") {
		line = strings.ToValidUTF8(strings.TrimPrefix(strings.TrimSuffix(line, "\r"), "\ufeff"), "\ufffd")
		out = append(out, line)
	}
	unfold(out)
	if n := len(out); n == 1 && strings.Contains(out[0], "\r") { // of an old Macintosh
		out = strings.Split(out[0], "\r")
	}
	return out, nil
}

// unfold puts a cell in quotes that runs over two or three lines on one; the others are empty.
func unfold(lines []string) {
	odd := func(i int) bool { return i < len(lines) && strings.Count(lines[i], `"`)%2 == 1 }
	for i := range lines {
		if !odd(i) {
			continue
		}
		for _, last := range []int{i + 1, i + 2} {
			if !odd(last) {
				continue
			}
			for k := i + 1; k <= last; k++ {
				lines[i], lines[k] = lines[i]+" "+lines[k], ""
			}
			break
		}
	}
}

// latin reads bytes that are no UTF-8 as Latin-1, in which instruments and older
// spreadsheets write "µL" and "°C".
func latin(data []byte) []byte {
	runes := make([]rune, len(data))
	for i, b := range data {
		runes[i] = rune(b)
	}
	return []byte(string(runes))
}

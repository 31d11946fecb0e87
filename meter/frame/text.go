package frame

import (
	"fmt"
	"math/bits"
	"strings"
	"unicode/utf8"

	"example.org/halfdrop/meter"
)

// ErrGarbled is a line with bytes that no text line has. It is an ErrNotReading.
var ErrGarbled = fmt.Errorf("%w: bytes that are no text, as from a wrong speed or a disturbed cable", meter.ErrNotReading)

// Parity says what the top bits of a line show about the way it was sent.
type Parity uint8

const (
	// Plain: no top bit is set; 8 bits without parity, or 7 bits with space parity.
	Plain Parity = iota
	// Even, Odd and Mark: 7 bits and this parity, received as 8 bits.
	Even
	Odd
	Mark
	// Wide: top bits that are no parity, as of a degree sign in an 8-bit alphabet.
	Wide
)

// ParityOf judges the top bits of b. With fewer than four bytes a parity is
// not told from an alphabet, and the answer is Wide.
func ParityOf(b []byte) Parity {
	var top, odd int
	for _, c := range b {
		top += int(c >> 7)
		odd += bits.OnesCount8(c) & 1
	}
	switch {
	case top == 0:
		return Plain
	case len(b) < 4:
		return Wide
	case top == len(b):
		return Mark
	case odd == 0:
		return Even
	case odd == len(b):
		return Odd
	}
	return Wide
}

// Text is a line as text: parity bits removed, a degree sign of the usual
// alphabets as °, surrounding blanks and STX/ETX removed. The error is
// ErrGarbled when any other byte is no printable ASCII.
func Text(line []byte) (string, error) {
	line = trim(line)
	switch ParityOf(line) {
	case Even, Odd, Mark:
		clean := make([]byte, len(line))
		for i, c := range line {
			clean[i] = c & 0x7f
		}
		line = trim(clean)
	case Wide:
		return wide(line)
	}
	for _, c := range line {
		if !printable(c) {
			return "", ErrGarbled
		}
	}
	return string(line), nil
}

// trim removes blanks and STX/ETX around a line, never a tab: a leading tab
// is an empty field, and an empty field is not to be overlooked.
func trim(line []byte) []byte {
	s := strings.Trim(string(line), " \r\n")
	if len(s) > 1 && s[0] == 0x02 && s[len(s)-1] == 0x03 { // STX … ETX
		s = strings.Trim(s[1:len(s)-1], " \r\n")
	}
	return []byte(s)
}

func printable(c byte) bool { return c == '\t' || c >= ' ' && c < 0x7f }

// wide reads a line whose only bytes beyond ASCII are degree signs before a C:
// UTF-8, Latin-1 (0xB0) or the old PC alphabets (0xF8).
func wide(line []byte) (string, error) {
	var b strings.Builder
	for i := 0; i < len(line); i++ {
		c := line[i]
		if printable(c) {
			b.WriteByte(c)
			continue
		}
		r, n := utf8.DecodeRune(line[i:])
		if r != '°' {
			n = 1
			if c != 0xb0 && c != 0xf8 {
				return "", ErrGarbled
			}
		}
		rest := strings.TrimLeft(string(line[i+n:]), " ")
		if rest == "" || rest[0]|0x20 != 'c' {
			return "", ErrGarbled
		}
		b.WriteString("°")
		i += n - 1
	}
	return b.String(), nil
}

// Noise is the share of b, 0 to 1, that is no text even when a parity is
// allowed for. A line at the wrong speed has a third or more; it is 0 for no bytes.
func Noise(b []byte) float64 {
	if len(b) == 0 {
		return 0
	}
	mask := byte(0xff)
	if p := ParityOf(b); p == Even || p == Odd || p == Mark {
		mask = 0x7f
	}
	bad := 0
	for _, c := range b {
		if c &= mask; !printable(c) && c != '\r' && c != '\n' && c != 0x02 && c != 0x03 {
			bad++
		}
	}
	return float64(bad) / float64(len(b))
}

// Printable is a line fit to be shown and kept: parity bits removed where they
// are such, every other byte beyond ASCII written as \xNN.
func Printable(line []byte) string {
	if s, err := Text(line); err == nil {
		return s
	}
	var b strings.Builder
	for _, c := range line {
		if printable(c) {
			b.WriteByte(c)
		} else {
			fmt.Fprintf(&b, `\x%02x`, c)
		}
	}
	return b.String()
}

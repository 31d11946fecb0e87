package frame

import (
	"fmt"
	"math/bits"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.org/halfdrop/meter"
)

// Errors of lines that hold more than text; both are ErrNotReading.
var (
	ErrGarbled = fmt.Errorf("%w: bytes that are not text, as from a wrong speed or a disturbed cable", meter.ErrNotReading)
	ErrControl = fmt.Errorf("%w: a control byte in the middle of the line", meter.ErrNotReading)
)

// controlNames are control bytes that instruments send between their lines, by
// the names of ASCII (ANSI X3.4; XON and XOFF are its DC1 and DC3).
var controlNames = map[string]byte{
	"NUL": 0x00, "SOH": 0x01, "STX": 0x02, "ETX": 0x03, "EOT": 0x04, "ENQ": 0x05, "ACK": 0x06, "BEL": 0x07,
	"BS": 0x08, "VT": 0x0b, "FF": 0x0c, "SO": 0x0e, "SI": 0x0f, "DLE": 0x10, "XON": 0x11, "DC2": 0x12, "XOFF": 0x13,
	"DC4": 0x14, "NAK": 0x15, "SYN": 0x16, "ETB": 0x17, "CAN": 0x18, "ESC": 0x1b, "DEL": 0x7f,
}

// ControlName is the name of a control byte, or "" when it has none here.
func ControlName(c byte) string {
	for name, b := range controlNames {
		if b == c {
			return name
		}
	}
	return ""
}

// Parity says what the top bits of a line show about the way it was sent.
type Parity uint8

const (
	Plain Parity = iota // no top bit is set; 8 bits without parity, or 7 bits with space parity
	Even                // this, Odd and Mark: 7 bits and the parity, received as 8 bits
	Odd
	Mark
	Wide // top bits that are no parity, as of a degree sign in an 8-bit alphabet
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

// Text is a line as text: parity bits removed, letters and the degree sign of
// the usual alphabets as UTF-8, surrounding blanks, padding (NUL, form feed, XON,
// XOFF) and STX/ETX removed. The error is ErrControl for another control byte
// that has a name, ErrGarbled for what is no text at all.
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
			return "", notText(c)
		}
	}
	return string(line), nil
}

// notText is the error about a byte that is no text.
func notText(c byte) error {
	if name := ControlName(c); name != "" {
		return fmt.Errorf("%w: %s", ErrControl, name)
	}
	return ErrGarbled
}

// padding is what instruments put around their lines: blanks, what feeds the
// paper of a printer, what fills a buffer, what starts and stops the other side.
const padding = " \r\n\x00\x0c\x11\x13"

// trim removes padding and STX/ETX around a line, never a tab: a leading tab
// is an empty field, and an empty field is not to be overlooked.
func trim(line []byte) []byte {
	s := strings.Trim(string(line), padding)
	if len(s) > 1 && s[0] == 0x02 && s[len(s)-1] == 0x03 { // STX … ETX
		s = strings.Trim(s[1:len(s)-1], padding)
	}
	return []byte(s)
}

// Blank reports whether a line holds nothing but blanks and padding.
func Blank(line []byte) bool { return len(trim(line)) == 0 }

func printable(c byte) bool { return c == '\t' || c >= ' ' && c < 0x7f }

// wide reads a line with bytes beyond ASCII: letters in UTF-8 or Latin-1, and
// degree signs before a unit, also those of the old PC alphabets (0xF8).
func wide(line []byte) (string, error) {
	utf := utf8.Valid(line)
	var b strings.Builder
	for i := 0; i < len(line); i++ {
		c := line[i]
		if printable(c) {
			b.WriteByte(c)
			continue
		}
		if c < 0x80 {
			return "", notText(c)
		}
		r, n := rune(c), 1 // Latin-1 is the beginning of Unicode
		if utf {
			r, n = utf8.DecodeRune(line[i:])
		}
		rest := strings.TrimLeft(string(line[i+n:]), " ")
		degree := rest != "" && strings.IndexByte("cCfF", rest[0]) >= 0 && (i == 0 || !letter(line[i-1]))
		switch {
		case degree && (r == '°' || r == 'º' || !utf && c == 0xf8):
			b.WriteString("°")
		case r == 'µ' || r == 'μ' || unicode.IsLetter(r) && (utf || c >= 0xc0 && inWord(line, i)):
			b.WriteRune(r)
		default:
			return "", ErrGarbled
		}
		i += n - 1
	}
	return b.String(), nil
}

// inWord reports whether byte i has a letter of ASCII beside it.
func inWord(line []byte, i int) bool {
	return i > 0 && letter(line[i-1]) || i+1 < len(line) && letter(line[i+1])
}

func letter(c byte) bool { return c|0x20 >= 'a' && c|0x20 <= 'z' }

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
		if c &= mask; !printable(c) && strings.IndexByte("\r\n\x02\x03\x0c\x11\x13", c) < 0 {
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

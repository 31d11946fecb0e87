package intake

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"

	"example.org/halfdrop/meter/remedy"
)

// MaxName is how long a name may be, in characters: of a plan, a titrant, a
// reagent, a person, an electrode.
const MaxName = 120

// Harmless reports whether a character does nothing but show: no control or
// escape character, no change of the direction of writing, no invisible one, no
// line or paragraph end, no replacement for bytes that were no text.
func Harmless(r rune) bool {
	switch {
	case r == utf8.RuneError || unicode.IsControl(r):
		return false
	case unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp, unicode.Cs, unicode.Co):
		return false
	}
	return true
}

// Name reports whether s can be a name: it is not empty or blank, not longer
// than MaxName, and all of its characters are Harmless.
func Name(s string) error {
	if strings.TrimSpace(s) == "" {
		return fmt.Errorf("an empty name")
	}
	return Words(s, MaxName)
}

// Words reports whether s, which may be empty, has at most most characters and
// all of them Harmless.
func Words(s string, most int) error {
	if n := utf8.RuneCountInString(s); n > most {
		return fmt.Errorf("%d characters; at most %d are possible", n, most)
	}
	for i, r := range s {
		if !Harmless(r) {
			return fmt.Errorf("character %d is %s, which is not text", utf8.RuneCountInString(s[:i])+1, code(s[i:], r))
		}
	}
	return nil
}

// Escape is s with every character that is not Harmless written as an escape
// sequence of Go: \x1b, \n, \u202e. A text without any is returned as it is.
func Escape(s string) string { return escape(s, Harmless, code) }

// laid reports whether a character may stand in a text of lines.
func laid(r rune) bool { return r == '\n' || r == '\t' || Harmless(r) }

// escape is s with every character that may not stand in it written as its code.
func escape(s string, may func(rune) bool, code func(string, rune) string) string {
	if !strings.ContainsFunc(s, func(r rune) bool { return !may(r) }) {
		return s
	}
	var b strings.Builder
	for s != "" {
		r, n := utf8.DecodeRuneInString(s)
		if may(r) {
			b.WriteRune(r)
		} else {
			b.WriteString(code(s, r))
		}
		s = s[n:]
	}
	return b.String()
}

// code is the escape sequence of the character r, the first of s.
func code(s string, r rune) string {
	switch {
	case r == '\n':
		return `\n`
	case r == '\r':
		return `\r`
	case r == '\t':
		return `\t`
	case r == utf8.RuneError && !strings.HasPrefix(s, "\uFFFD"):
		return fmt.Sprintf(`\x%02x`, s[0])
	case r < 0x80:
		return fmt.Sprintf(`\x%02x`, r)
	case r > 0xffff:
		return fmt.Sprintf(`\U%08x`, r)
	}
	return fmt.Sprintf(`\u%04x`, r)
}

// JSON is a JSON text with every character that is not Harmless as an escape
// sequence of JSON: it means the same. Line ends and tabs stay.
func JSON(text []byte) []byte {
	return []byte(escape(string(text), laid, func(_ string, r rune) string {
		if high, low := utf16.EncodeRune(r); r > 0xffff {
			return fmt.Sprintf(`\u%04x\u%04x`, high, low)
		}
		return fmt.Sprintf(`\u%04x`, r)
	}))
}

// Cell is s as a text cell of a CSV table: escaped, and with an apostrophe
// before what a spreadsheet would take for a formula (CWE-1236).
func Cell(s string) string {
	s = Escape(s)
	if s != "" && strings.IndexByte("=+-@", s[0]) >= 0 {
		return "'" + s
	}
	return s
}

// Said refuses what was said by flags when it is no plain text: pairs of a flag and
// its value.
func Said(pairs ...string) error {
	for i := 0; i+1 < len(pairs); i += 2 {
		if err := Words(pairs[i+1], MaxName); err != nil {
			return remedy.Call(fmt.Errorf("%s: %w", pairs[i], err), fmt.Sprintf("use letters, digits and signs, at most %d", MaxName))
		}
	}
	return nil
}

// Lines delivers the lines of an input and closes the channel when it ends.
func Lines(ctx context.Context, in io.Reader) <-chan string {
	lines := make(chan string)
	go func() {
		defer close(lines)
		for sc := bufio.NewScanner(in); sc.Scan(); {
			select {
			case lines <- sc.Text():
			case <-ctx.Done():
				return
			}
		}
	}()
	return lines
}

// Writer passes text on with every character that is not Harmless escaped, but
// for line ends and tabs: what stands in a file or comes from a meter does
// nothing to the terminal. A character may be cut in two by two writes.
type Writer struct {
	w    io.Writer
	held []byte // the beginning of a character
}

// NewWriter is a Writer to w.
func NewWriter(w io.Writer) *Writer { return &Writer{w: w} }

// Write writes all of b, or is the error of the writer below.
func (e *Writer) Write(b []byte) (int, error) {
	text := append(e.held, b...)
	n := len(text)
	for back := 1; back < utf8.UTFMax && back <= n; back++ {
		if c := text[n-back]; utf8.RuneStart(c) {
			if c >= utf8.RuneSelf && !utf8.FullRune(text[n-back:]) {
				n -= back
			}
			break
		}
	}
	e.held = append([]byte(nil), text[n:]...)
	if _, err := io.WriteString(e.w, escape(string(text[:n]), laid, code)); err != nil {
		return 0, err
	}
	return len(b), nil
}

package intake

import (
	"io"
	"strings"
	"unicode/utf8"
)

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
	var out strings.Builder
	rest := string(text[:n])
	for rest != "" {
		i := strings.IndexAny(rest, "\n\t")
		if i < 0 {
			out.WriteString(Escape(rest))
			break
		}
		out.WriteString(Escape(rest[:i]))
		out.WriteByte(rest[i])
		rest = rest[i+1:]
	}
	if _, err := io.WriteString(e.w, out.String()); err != nil {
		return 0, err
	}
	return len(b), nil
}

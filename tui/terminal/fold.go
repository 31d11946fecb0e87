package terminal

import (
	"io"
	"strings"
	"unicode"

	"github.com/charmbracelet/x/term"

	"example.org/halfdrop/meter/phrase"
)

// Lines is an output for lines of text: on a terminal those that are wider than it are
// broken between words. A file or a pipe gets them as they are.
func Lines(out io.Writer) io.Writer {
	f, ok := Of(out)
	if !ok {
		return out
	}
	return folded{f, func() int {
		width, _, err := term.GetSize(f.Fd())
		if err != nil {
			return 0
		}
		return width
	}}
}

// folded breaks lines that come whole in one write; what is not ended yet, such as a
// question, goes through as it is. The width is asked for each time, as windows change.
type folded struct {
	out   io.Writer
	width func() int
}

func (f folded) Write(b []byte) (int, error) {
	text := string(b)
	at := strings.LastIndexByte(text, '\n') + 1
	if _, err := io.WriteString(f.out, phrase.Hang(text[:at], f.width())+text[at:]); err != nil {
		return 0, err
	}
	return len(b), nil
}

// Clean leaves out control characters.
func Clean(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return -1
		}
		return r
	}, text)
}

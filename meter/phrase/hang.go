package phrase

import (
	"io"
	"regexp"
	"strings"
	"text/tabwriter"

	"github.com/charmbracelet/x/ansi"
)

// Hang breaks the lines of a text that are wider than so many columns between words; what
// goes on hangs below the last column of a table, or below the first word. JSON stays as
// it is, and so does everything where there is hardly room.
func Hang(text string, width int) string {
	if width < 20 || strings.HasPrefix(text, "{") || strings.HasPrefix(text, "[") {
		return text
	}
	var out strings.Builder
	for line := range strings.Lines(text) {
		bare := strings.TrimSuffix(line, "\n")
		if ansi.StringWidth(bare) <= width {
			out.WriteString(line)
			continue
		}
		at := len(bare) - len(strings.TrimLeft(bare, " "))
		for _, g := range columnGap.FindAllStringIndex(bare, -1) {
			if ansi.StringWidth(bare[:g[1]]) <= width/2 {
				at = max(at, g[1])
			}
		}
		head, pad := bare[:at], strings.Repeat(" ", ansi.StringWidth(bare[:at]))
		for i, part := range Wrap(bare[at:], width-len(pad)) {
			if i > 0 {
				head = pad
			}
			out.WriteString(head + part + "\n")
		}
	}
	return out.String()
}

// Beside is a text of so many columns behind a lead, its further lines below its first.
func Beside(lead, text string, width int) string {
	pad := strings.Repeat(" ", ansi.StringWidth(lead))
	return lead + strings.Join(Wrap(text, width-len(pad)), "\n"+pad) + "\n"
}

// columnGap stands between the columns of a table.
var columnGap = regexp.MustCompile(` {2,}`)

// Fold breaks text into lines of at most width characters, at spaces, each
// after the first indented by two.
func Fold(text string, width int) string {
	var b strings.Builder
	n := 0
	for i, word := range strings.Fields(text) {
		w := len([]rune(word))
		switch {
		case i == 0:
		case n+1+w > width:
			b.WriteString("\n  ")
			n = 2
		default:
			b.WriteByte(' ')
			n++
		}
		b.WriteString(word)
		n += w
	}
	return b.String()
}

// Columns is a table for people: the cells of a row are parted by tabs, and stand two
// blanks apart once it is flushed.
func Columns(w io.Writer) *tabwriter.Writer { return tabwriter.NewWriter(w, 0, 0, 2, ' ', 0) }

// Figures is Columns with every cell at the right of its column, as numbers are compared.
func Figures(w io.Writer) *tabwriter.Writer {
	return tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
}

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
	return Hung(lead, strings.Repeat(" ", ansi.StringWidth(lead)), text, width) + "\n"
}

// Hung is a text of so many columns behind a lead, its further lines behind another.
func Hung(lead, pad, text string, width int) string {
	return lead + strings.Join(Wrap(text, width-ansi.StringWidth(pad)), "\n"+pad)
}

// columnGap stands between the columns of a table.
var columnGap = regexp.MustCompile(` {2,}`)

// Columns is a table for people: the cells of a row are parted by tabs, and stand two
// blanks apart once it is flushed.
func Columns(w io.Writer) *tabwriter.Writer { return tabwriter.NewWriter(w, 0, 0, 2, ' ', 0) }

// Figures is Columns with every cell at the right of its column, as numbers are compared.
func Figures(w io.Writer) *tabwriter.Writer {
	return tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
}

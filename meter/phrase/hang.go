package phrase

import (
	"regexp"
	"strings"

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

// columnGap stands between the columns of a table.
var columnGap = regexp.MustCompile(` {2,}`)

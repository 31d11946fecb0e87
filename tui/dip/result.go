package dip

import (
	"fmt"
	"io"

	"github.com/charmbracelet/x/term"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/tui/terminal"
)

// resultWidth is how many letters a line of the result has at most, on a narrow terminal
// fewer; what goes on hangs below the text.
const resultWidth = 79

// widthOf is how many letters a line may have there.
func widthOf(w io.Writer) int {
	f, ok := terminal.Of(w)
	if !ok {
		return resultWidth
	}
	cols, _, err := term.GetSize(f.Fd())
	if err != nil {
		return resultWidth
	}
	return max(min(resultWidth, cols-1), 30)
}

// ShowResult writes the result with every limit and what it rests on.
func ShowResult(w io.Writer, c calib.Calibration) {
	width := widthOf(w)
	hang := func(head, text string) { io.WriteString(w, phrase.Beside(head, text, width)) }
	hang("", c.Summary())
	for _, p := range c.Points {
		value := ""
		if p.MV != nil {
			value = fmt.Sprintf(", %.1f mV", *p.MV)
		}
		if p.Shown != nil {
			value += fmt.Sprintf(", shown %.3f", *p.Shown)
		}
		source := ""
		if s, err := standards.Find(p.Standard, p.Set); err == nil {
			source = " (" + s.Source(chem.Celsius(p.TempC)) + ")"
		}
		hang(fmt.Sprintf("  %-6s ", p.Standard), fmt.Sprintf("pH %.3f at %.1f °C%s%s", p.PH, p.TempC, value, source))
	}
	for _, f := range c.Findings {
		hang(fmt.Sprintf("  %-6s ", f.Level), f.Text)
		if f.Basis != "" {
			hang("         ", "("+f.Basis+")")
		}
	}
	if c.Override != "" {
		hang("  ", "used all the same: "+c.Override)
	}
}

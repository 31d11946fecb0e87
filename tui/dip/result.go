package dip

import (
	"fmt"
	"io"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/calib"
)

// ShowResult writes the result with every limit and what it rests on.
func ShowResult(w io.Writer, c calib.Calibration) {
	fmt.Fprintln(w, c.Summary())
	for _, p := range c.Points {
		value := ""
		if p.MV != nil {
			value = fmt.Sprintf("%.1f mV", *p.MV)
		}
		if p.Shown != nil {
			value += fmt.Sprintf(" shown %.3f", *p.Shown)
		}
		source := ""
		if s, err := calib.Find(p.Standard, p.Set); err == nil {
			source = s.Source(chem.Celsius(p.TempC))
		}
		fmt.Fprintf(w, "  %-6s pH %.3f at %.1f °C  %s  [%s]\n", p.Standard, p.PH, p.TempC, value, source)
	}
	for _, f := range c.Findings {
		fmt.Fprintf(w, "  %-6s %s\n", f.Level, f.Text)
		if f.Basis != "" {
			fmt.Fprintf(w, "         (%s)\n", f.Basis)
		}
	}
	if c.Override != "" {
		fmt.Fprintf(w, "  used all the same: %s\n", c.Override)
	}
}

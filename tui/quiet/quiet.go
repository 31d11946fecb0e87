// Package quiet keeps the program from asking the terminal for its colours.
//
// Bubble Tea v1 asks for the background colour in its package init, and a
// terminal that does not answer costs five seconds at every start. Setting the
// answer first avoids the question. Go initialises packages in the order of
// their import paths as soon as what they import is ready, so this package
// imports nothing but lipgloss and the standard library, and its path sorts
// before github.com.
package quiet

import (
	"os"
	"strings"

	"github.com/charmbracelet/lipgloss"
)

func init() { lipgloss.SetHasDarkBackground(Dark(os.Getenv("COLORFGBG"))) }

// Dark guesses the background from COLORFGBG, "foreground;background" in the
// numbers of the 16 colours, which several terminals set. Without it dark is
// assumed; the colours of the program are chosen to read on both.
func Dark(colours string) bool {
	_, back, ok := strings.Cut(colours, ";")
	if !ok {
		return true
	}
	back = back[strings.LastIndex(back, ";")+1:]
	return back != "7" && back != "15"
}

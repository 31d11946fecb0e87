package widget

import (
	"strings"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"

	"example.org/halfdrop/meter/phrase"
)

// Width is how many cells text takes.
func Width(text string) int { return lipgloss.Width(text) }

// Fit shortens text to w cells, with an ellipsis where something is missing.
func Fit(text string, w int, set *Set) string {
	text = set.Text(text)
	if Width(text) <= w {
		return text
	}
	tail := set.Ellipsis
	if Width(tail) >= w {
		tail = ""
	}
	return ansi.Truncate(text, max(w, 0), tail)
}

// FitEnd is the end of a text, shortened to w cells where it begins.
func FitEnd(text string, w int, set *Set) string {
	text = set.Text(text)
	over := Width(text) - w
	if over <= 0 {
		return text
	}
	return ansi.TruncateLeft(text, over+Width(set.Ellipsis), set.Ellipsis)
}

// Wrap breaks text between words, but not between a number and its unit, into rows of at most w cells, at most n of
// them; what does not fit ends in an ellipsis.
func Wrap(text string, w, n int, set *Set) []string {
	if w <= 0 || n <= 0 {
		return nil
	}
	var rows []string
	row := ""
	words := phrase.Glued(strings.Fields(set.Text(text)))
	for i, word := range words {
		longer := strings.TrimLeft(row+" "+word, " ")
		if Width(longer) <= w || row == "" {
			row = longer
			continue
		}
		if len(rows) == n-1 {
			return append(rows, Fit(row+" "+strings.Join(words[i:], " "), w, set))
		}
		rows, row = append(rows, Fit(row, w, set)), word
	}
	return append(rows, Fit(row, w, set))
}

// FirstFit is the first of several wordings that fits into w cells, or the
// last one shortened.
func FirstFit(w int, set *Set, wordings ...string) string {
	for _, s := range wordings {
		if s = set.Text(s); Width(s) <= w {
			return s
		}
	}
	if len(wordings) == 0 {
		return ""
	}
	return Fit(wordings[len(wordings)-1], w, set)
}

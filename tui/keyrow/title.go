package keyrow

import (
	"strings"

	"example.org/halfdrop/tui/widget"
)

// fewer are wordings of facts with commas between them, from all of them to the first.
func fewer(facts string) (out []string) {
	parts := strings.Split(facts, ", ")
	for n := len(parts); n > 0; n-- {
		out = append(out, strings.Join(parts[:n], ", "))
	}
	return out
}

// Title puts a title and what is to be said beside it.
func Title(s *widget.Sheet, r widget.Rect, title, facts string, set *widget.Set) {
	facts = widget.FirstFit(max(r.W-widget.Width(set.Text(title))-2, r.W/2), set, fewer(facts)...)
	s.PutRight(r, 0, widget.Plain, facts, set)
	s.PutIn(widget.Rect{X: r.X, Y: r.Y, W: r.W - widget.Width(facts) - 2, H: 1}, 0, widget.Strong, title, set)
}

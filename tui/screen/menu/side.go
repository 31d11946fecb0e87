package menu

import (
	"strings"

	"example.org/halfdrop/tui/widget"
)

// Side stands beside a menu where there is room: what is known of the row that is
// chosen, or of everything.
type Side struct {
	Title string
	Words []string     // what there is to tell, a paragraph each
	Facts [][2]string  // a name and what it is
	Plot  *widget.Plot // nil for none
}

// sideFrom is the width from which a menu has its details at the side.
const sideFrom = 100

// roomBeside reports whether a menu of w by h has room for its side.
func roomBeside(w, h int) bool { return w >= sideFrom && h >= widget.FullHeight }

// leastBelow is the least number of rows that the side takes below a list.
const leastBelow = widget.LeastCurve

// RoomForSide reports whether a menu of w by h has room for its side, beside or below.
func (m Menu) RoomForSide(w, h int) bool { return roomBeside(w, h) || m.below(w, h) >= leastBelow }

// below is how many rows are free below the list, where there is no room beside it.
func (m Menu) below(w, h int) int {
	if w < widget.FullWidth || roomBeside(w, h) || m.Side == nil && !m.Sided {
		return 0
	}
	return h - 3 - min(1, h/24) - aboutRows - len(m.Rows)
}

// drawBelow puts the side below the list: its curve, and beside that what fits.
func (m Menu) drawBelow(s *widget.Sheet, r widget.Rect) {
	side := m.Side
	if side == nil {
		return
	}
	left, right := r.CutLeft(r.W * 11 / 20)
	if side.Plot == nil {
		left, right = widget.Rect{}, r
	} else {
		side.Plot.Draw(s, left, m.Set)
		right.X, right.W = right.X+2, right.W-2
	}
	s.PutIn(right, 0, widget.Strong, side.Title, m.Set)
	wide := 0
	for _, f := range side.Facts {
		wide = max(wide, widget.Width(m.Set.Text(f[0])))
	}
	row := 1
	value := widget.Rect{X: right.X + wide + 1, Y: right.Y, W: right.W - wide - 1, H: right.H}
	spare := max(1, right.H-1-len(side.Facts)) // rows, for values that take two; the last facts matter least
	for _, f := range side.Facts {
		short, _, _ := strings.Cut(f[1], ";")
		short, _, _ = strings.Cut(short, ",")
		lines := []string{widget.FirstFit(value.W, m.Set, f[1], short)}
		if two := widget.Wrap(short, value.W, 2, m.Set); len(two) == 2 && spare > 0 {
			lines, spare = two, spare-1
		}
		s.PutIn(right, row, widget.Faint, f[0], m.Set)
		for _, line := range lines {
			s.PutIn(value, row, widget.Plain, line, m.Set)
			row++
		}
	}
}

// drawSide puts the words about a row and the side into a rectangle.
func (m Menu) drawSide(s *widget.Sheet, r widget.Rect) {
	row := 0
	if m.At >= 0 && m.At < len(m.Rows) {
		row = s.PutWords(r, 0, 6, widget.Plain, m.Rows[m.At].About, m.Set) + 1
	}
	side := m.Side
	if side == nil {
		return
	}
	s.PutIn(r, row, widget.Strong, side.Title, m.Set)
	row++
	for _, text := range side.Words {
		row = s.PutWords(r, row, r.H, widget.Plain, text, m.Set) + 1
	}
	wide := 0
	for _, f := range side.Facts {
		wide = max(wide, widget.Width(m.Set.Text(f[0])))
	}
	_, values := r.CutLeft(wide + 2)
	for _, f := range side.Facts {
		s.PutIn(r, row, widget.Faint, f[0], m.Set)
		row = s.PutWords(values, row, 3, widget.Plain, f[1], m.Set)
	}
	row++
	if left := r.H - row; side.Plot != nil && left >= widget.LeastCurve {
		side.Plot.Draw(s, widget.Rect{X: r.X, Y: r.Y + row, W: r.W, H: min(left, max(16, r.W/4))}, m.Set)
	}
}

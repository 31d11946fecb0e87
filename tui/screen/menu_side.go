package screen

import (
	"example.org/halfdrop/tui/widget"
)

// MenuSide stands beside a menu where there is room: what is known of the row that is
// chosen, or of everything.
type MenuSide struct {
	Title string
	Facts [][2]string  // a name and what it is
	Plot  *widget.Plot // nil for none
}

// sideFrom is the width from which a menu has its details at the side.
const sideFrom = 100

// RoomBeside reports whether a menu of w by h has room for its side.
func RoomBeside(w, h int) bool { return w >= sideFrom && h >= fullHeight }

// drawSide puts the words about a row and the side into a rectangle.
func (m Menu) drawSide(s *widget.Sheet, r widget.Rect) {
	row := 0
	if m.At >= 0 && m.At < len(m.Rows) {
		for _, line := range widget.Wrap(m.Rows[m.At].About, r.W, 6, m.Set) {
			s.PutIn(r, row, widget.Plain, line, m.Set)
			row++
		}
		row++
	}
	side := m.Side
	if side == nil {
		return
	}
	s.PutIn(r, row, widget.Strong, side.Title, m.Set)
	row++
	wide := 0
	for _, f := range side.Facts {
		wide = max(wide, widget.Width(m.Set.Text(f[0])))
	}
	for _, f := range side.Facts {
		s.PutIn(r, row, widget.Faint, f[0], m.Set)
		for _, line := range widget.Wrap(f[1], r.W-wide-2, 3, m.Set) {
			s.PutIn(widget.Rect{X: r.X + wide + 2, Y: r.Y, W: r.W - wide - 2, H: r.H}, row, widget.Plain, line, m.Set)
			row++
		}
	}
	row++
	if left := r.H - row; side.Plot != nil && left >= leastCurve {
		side.Plot.Draw(s, widget.Rect{X: r.X, Y: r.Y + row, W: r.W, H: min(left, 16)}, m.Set)
	}
}

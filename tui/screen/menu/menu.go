package menu

import (
	"fmt"

	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/widget"
)

// Menu is a list to choose from, with words about the row that is chosen.
type Menu struct {
	Title string
	Facts string // at the right of the title
	Rows  []Row
	At    int  // the row chosen
	Airy  bool // a free line between rows, where there is room
	Keys  []keyrow.Key
	Side  *Side // beside it from 100 columns, else below it where there is room; nil for none
	Sided bool  // Side is looked up once it is known that there is room
	Set   *widget.Set
}

// Row is one row of a menu.
type Row struct {
	Left  string // short, such as a number
	Text  string
	Right string // short, such as a level; may be empty
	About string // shown under the list when the row is chosen
}

// aboutRows are kept free for the words about a row.
const aboutRows = 5

// Draw draws a menu: h rows of at most w columns.
func Draw(m Menu, w, h int) string {
	s := widget.NewSheet(w, h)
	r := s.Page()
	var head, keys, about widget.Rect
	if h >= 4 {
		r, keys = r.CutBottom(1)
		head, r = r.CutTop(1)
		keyrow.Draw(s, keys, m.Keys, m.Set)
		keyrow.Title(s, head, m.Title, m.Facts, m.Set)
	}
	if roomBeside(w, h) {
		_, r = r.CutTop(1)
		var side widget.Rect
		r, side = r.CutRight(r.W * 3 / 5)
		s.Edge(side, widget.Faint, m.Set.VLine)
		m.drawSide(s, side.Inset(2))
		r.W--
	} else if r.H >= aboutRows+6 {
		_, r = r.CutTop(min(1, h/24))
		r, about = r.CutBottom(aboutRows)
		if below := m.below(w, h); below >= leastBelow {
			var low widget.Rect
			r, low = r.CutTop(len(m.Rows))
			_, low = low.CutTop(1)
			m.drawBelow(s, low)
		}
		rule, words := about.CutTop(1)
		s.Rule(rule, m.Set)
		if len(m.Rows) > r.H { // there is more of the list than shows
			s.PutRight(widget.Rect{X: rule.X, Y: rule.Y, W: rule.W - 2, H: 1}, 0, widget.Faint, fmt.Sprintf(" %d of %d ", m.At+1, len(m.Rows)), m.Set)
		}
		if m.At >= 0 && m.At < len(m.Rows) {
			s.PutWords(words, 0, words.H, widget.Plain, m.Rows[m.At].About, m.Set)
		}
	}
	m.drawRows(s, r)
	return s.Painted()
}

// drawRows shows as many rows as there is room for, the chosen one among them.
func (m Menu) drawRows(s *widget.Sheet, r widget.Rect) {
	left, right := 0, 0
	for _, row := range m.Rows {
		left = max(left, widget.Width(m.Set.Text(row.Left)))
		right = max(right, widget.Width(m.Set.Text(row.Right)))
	}
	step := 1
	if m.Airy && 2*len(m.Rows) <= r.H {
		step = 2
	}
	first := min(max(0, m.At-r.H/2), max(0, len(m.Rows)-r.H))
	for i := first; i < len(m.Rows) && i-first < r.H; i++ {
		row, y := m.Rows[i], step*(i-first)
		ink, mark := widget.Plain, " "
		if i == m.At {
			ink, mark = widget.Act, m.Set.Act
		}
		x := s.PutIn(r, y, ink, mark+" ", m.Set)
		s.PutIn(widget.Rect{X: x, Y: r.Y, W: left, H: r.H}, y, widget.Faint, row.Left, m.Set)
		x += left + min(1, left)
		s.PutIn(widget.Rect{X: x, Y: r.Y, W: max(0, r.X+r.W-x-right-1), H: r.H}, y, ink, row.Text, m.Set)
		s.PutRight(r, y, widget.Faint, row.Right, m.Set)
	}
}

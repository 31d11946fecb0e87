package planform

import (
	"strings"

	"github.com/charmbracelet/lipgloss"

	"example.org/halfdrop/tui/widget"
)

// Card is a recipe beside the form: rows of what to do, how much, and of what, the
// figures of the buffer, and the curve that is predicted.
type Card struct {
	Title string
	Rows  [][3]string
	Facts string
	Notes []string
	Plot  *widget.Plot // nil where there is nothing to titrate
}

// Carder is a Planner that has a card; nil while there is nothing to show.
type Carder interface {
	Card(values map[string]string) *Card
}

// Sizes of the form with a card beside it.
const (
	besideFrom = 100 // columns
	formColumn = 52
)

// beside reports whether there is room for a card beside the form.
func (m *Form) beside() bool { return m.w+2*m.edge >= besideFrom && m.h >= widget.FullHeight }

// formWidth is the width of the form itself.
func (m *Form) formWidth() int {
	if m.beside() && m.page == fieldsPage && m.card != nil {
		return formColumn
	}
	return m.w
}

// cardBeside puts the card to the right of the rows above the rule.
func (m *Form) cardBeside(rows []string) []string {
	last := len(rows) - 1
	for i, row := range rows[:len(rows)-1] {
		if strings.Contains(row, strings.Repeat("─", 8)) || m.set.ASCII && strings.Contains(row, strings.Repeat("-", 20)) {
			last = i
			break
		}
	}
	for last < m.h-4 { // the rule goes down as far as what is under it lets it
		empty := -1
		for i := last + 1; i < len(rows)-1; i++ {
			if strings.TrimSpace(rows[i]) == "" {
				empty = i
			}
		}
		if empty < 0 {
			break
		}
		rows = append(rows[:empty], rows[empty+1:]...)
		rows = append(rows[:last], append([]string{""}, rows[last:]...)...)
		last++
	}
	s := widget.NewSheet(m.w-formColumn, last)
	m.card.draw(s, m.set)
	for i, line := range s.PaintedLines() {
		left := rows[i]
		if lipgloss.Width(left) > formColumn-1 {
			left = widget.Fit(left, formColumn-1, m.set)
		}
		rows[i] = pad(left, formColumn) + line
	}
	return rows
}

// draw puts the card on a sheet of its own, the curve in what is left.
func (c *Card) draw(s *widget.Sheet, set *widget.Set) {
	r := widget.Rect{X: 1, W: s.W - 2, H: s.H}
	row := 0
	put := func(ink widget.Ink, text string, n int) { row = s.PutWords(r, row, n, ink, text, set) }
	put(widget.Strong, c.Title, 1)
	row++
	var wide [2]int
	for _, cells := range c.Rows {
		for i := range wide {
			wide[i] = max(wide[i], widget.Width(set.Text(cells[i])))
		}
	}
	for _, cells := range c.Rows {
		if row >= r.H {
			return
		}
		amount := set.Text(cells[1])
		s.PutIn(r, row, widget.Faint, cells[0], set)
		at := r.X + wide[0] + 2
		s.Put(at+wide[1]-widget.Width(amount), r.Y+row, widget.Strong, amount)
		_, of := r.CutLeft(wide[0] + wide[1] + 4)
		row = s.PutWords(of, row, 2, widget.Plain, cells[2], set)
	}
	row++
	put(widget.Plain, c.Facts, 3)
	for _, n := range c.Notes {
		put(widget.Warn, set.Warn+" "+n, 3)
	}
	row++
	if left := r.H - row; c.Plot != nil && left >= widget.LeastCurve {
		c.Plot.Draw(s, widget.Rect{X: r.X, Y: row, W: r.W, H: min(left, max(24, r.W/4))}, set)
	}
}

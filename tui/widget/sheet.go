// Package widget draws the parts of a screen: big digits, a lane, a curve, a
// bar. Everything is drawn on a Sheet and is a pure function of its input.
package widget

import (
	"strings"

	"github.com/charmbracelet/lipgloss"
	"github.com/charmbracelet/x/ansi"
)

// The smallest size at which everything on a screen has a place, cells, and the least
// rows that a curve with its axes says something in.
const (
	FullWidth  = 60
	FullHeight = 20
	LeastCurve = 5
)

// Rect is a part of a sheet, in cells.
type Rect struct{ X, Y, W, H int }

// Empty reports whether there is no room in it.
func (r Rect) Empty() bool { return r.W <= 0 || r.H <= 0 }

// CutTop takes n rows off the top, or what there is.
func (r Rect) CutTop(n int) (top, rest Rect) {
	n = max(0, min(n, r.H))
	return Rect{r.X, r.Y, r.W, n}, Rect{r.X, r.Y + n, r.W, r.H - n}
}

// CutBottom takes n rows off the bottom, or what there is.
func (r Rect) CutBottom(n int) (rest, bottom Rect) {
	return r.CutTop(r.H - max(0, min(n, r.H)))
}

// CutRight takes n columns off the right, or what there is.
func (r Rect) CutRight(n int) (rest, right Rect) {
	n = max(0, min(n, r.W))
	return Rect{r.X, r.Y, r.W - n, r.H}, Rect{r.X + r.W - n, r.Y, n, r.H}
}

// CutLeft takes n columns off the left, or what there is.
func (r Rect) CutLeft(n int) (left, rest Rect) {
	return r.CutRight(r.W - max(0, min(n, r.W)))
}

// Inset leaves n columns free on either side.
func (r Rect) Inset(n int) Rect { return Rect{r.X + n, r.Y, r.W - 2*n, r.H} }

// cell is what stands in one column: a grapheme, or nothing when the wide
// grapheme before it covers the column.
type cell struct {
	text string
	ink  Ink
}

// Sheet is a grid of cells to draw on. What falls off its edges is lost.
type Sheet struct {
	W, H  int
	cells []cell
}

// Page is where something is drawn: all of the sheet, but for a margin of one column
// from 72 columns on.
func (s *Sheet) Page() Rect {
	r := Rect{W: s.W, H: s.H}
	if s.W >= 72 {
		return r.Inset(1)
	}
	return r
}

// NewSheet is an empty sheet, of nothing where there is no room for any.
func NewSheet(w, h int) *Sheet {
	s := &Sheet{}
	if w > 0 && h > 0 {
		s.W, s.H = w, h
	}
	s.cells = make([]cell, s.W*s.H)
	for i := range s.cells {
		s.cells[i].text = " "
	}
	return s
}

// Put writes text from x, y to the right and is the column after it. Control
// characters, which a meter or a plan may hold, are left out.
func (s *Sheet) Put(x, y int, ink Ink, text string) int {
	for len(text) > 0 {
		g, w := first(text)
		text = text[len(g):]
		if w == 0 || g[0] < ' ' || g[0] == 0x7f {
			continue
		}
		s.set(x, y, w, cell{g, ink})
		x += w
	}
	return x
}

// first is the first grapheme of text and its width.
func first(text string) (string, int) {
	if text[0] < 0x80 && (len(text) == 1 || text[1] < 0x80) {
		return text[:1], 1 // the common case, and ten times faster
	}
	g, w := ansi.FirstGraphemeCluster(text, ansi.GraphemeWidth)
	return g, max(w, lipgloss.Width(g))
}

func (s *Sheet) set(x, y, w int, c cell) {
	if y < 0 || y >= s.H || x < 0 || x+w > s.W {
		return
	}
	row := s.cells[y*s.W : (y+1)*s.W]
	row[x] = c
	for i := 1; i < w; i++ {
		row[x+i] = cell{"", c.ink}
	}
}

// PutIn writes text into a row of a rectangle, shortened to fit.
func (s *Sheet) PutIn(r Rect, row int, ink Ink, text string, set *Set) int {
	if row < 0 || row >= r.H {
		return r.X
	}
	return s.Put(r.X, r.Y+row, ink, Fit(text, r.W, set))
}

// PutWords writes text into a rectangle from a row on, broken between words into at most
// n rows, and is the row after it.
func (s *Sheet) PutWords(r Rect, row, n int, ink Ink, text string, set *Set) int {
	for _, line := range Wrap(text, r.W, min(n, r.H-row), set) {
		s.PutIn(r, row, ink, line, set)
		row++
	}
	return row
}

// PutBlock writes rows of big figures from the corner of a rectangle down, as far as it goes.
func (s *Sheet) PutBlock(r Rect, ink Ink, rows []string) {
	for i, row := range rows[:min(len(rows), max(r.H, 0))] {
		s.Put(r.X, r.Y+i, ink, row)
	}
}

// Edge draws the left edge of a rectangle.
func (s *Sheet) Edge(r Rect, ink Ink, text string) {
	s.Fill(Rect{X: r.X, Y: r.Y, W: 1, H: r.H}, ink, text)
}

// Rule draws a line across all of the sheet where a rectangle of one row is.
func (s *Sheet) Rule(r Rect, set *Set) {
	s.Fill(Rect{Y: r.Y, W: s.W, H: r.H}, Faint, set.HLine)
}

// PutRight writes text against the right edge of a rectangle.
func (s *Sheet) PutRight(r Rect, row int, ink Ink, text string, set *Set) {
	if row < 0 || row >= r.H {
		return
	}
	text = Fit(text, r.W, set)
	s.Put(r.X+r.W-Width(text), r.Y+row, ink, text)
}

// Fill writes one character of one column into all cells of a rectangle.
func (s *Sheet) Fill(r Rect, ink Ink, text string) {
	w := Width(text)
	for y := r.Y; y < r.Y+r.H; y++ {
		for x := r.X; x < r.X+r.W; x++ {
			s.set(x, y, w, cell{text, ink})
		}
	}
}

// Lines are the rows of the sheet, each run of one ink passed through paint.
// Blanks at the end of a row are left out.
func (s *Sheet) Lines(paint func(Ink, string) string) []string {
	out := make([]string, s.H)
	for y := range out {
		out[y] = line(s.cells[y*s.W:(y+1)*s.W], paint)
	}
	return out
}

func line(row []cell, paint func(Ink, string) string) string {
	end := len(row)
	for end > 0 && row[end-1].text == " " && row[end-1].ink != Alarm {
		end--
	}
	var b, run strings.Builder
	for i := 0; i < end; {
		ink := row[i].ink
		run.Reset()
		// A blank looks the same in every ink but that of an alarm.
		for i < end && (row[i].ink == ink || row[i].text == " " && row[i].ink != Alarm && ink != Alarm) {
			run.WriteString(row[i].text)
			i++
		}
		b.WriteString(paint(ink, run.String()))
	}
	return b.String()
}

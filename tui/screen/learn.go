package screen

import (
	"fmt"
	"strings"

	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/widget"
)

// LearnColumn is one column of what a meter sends.
type LearnColumn struct {
	Is    string   // what it is said to be, or what it might be
	Asked bool     // nobody has said yet
	Sure  bool     // the line itself says it
	Cells []string // from the first line to the latest
	Can   []string // what it may be, and why
	Not   []string // what it cannot be, and why
}

// Learn is everything that the screen shows on which a person says what the
// columns of a meter are.
type Learn struct {
	Title string
	Facts string // of port and lines, at the right

	Mood     Mood   // DoNow while something has to be said, LetBe while lines come, AllSet when it can be kept
	Sentence string // what to do
	Why      string

	Columns []LearnColumn
	At      int    // the column at the cursor
	Read    string // how the lines are read as said; empty before

	Keys []keyrow.Key
	Help []keyrow.Key // not empty while the keys are shown
	Set  *widget.Set
}

// look is ink and mark of the mood.
func (st Learn) look() (ink widget.Ink, stripe, mark string) {
	_, ink, stripe, mark = Calibration{Mood: st.Mood, Set: st.Set}.look()
	return ink, stripe, mark
}

// aboutColumn is how many rows are kept for the words about a column.
const aboutColumn = 7

// DrawLearn draws the screen: h rows of at most w columns.
func DrawLearn(st Learn, w, h int) string {
	if len(st.Help) > 0 {
		return keyrow.Help(w, h, st.Help, 0, st.Set, keyrow.Words{Title: "Keys for learning a meter", Back: "any key goes back; lines keep coming"})
	}
	s := widget.NewSheet(w, h)
	r := s.Page()
	if h < 6 {
		st.drawSentence(s, r)
		return s.Painted()
	}
	head, r := r.CutTop(1)
	keyrow.Title(s, head, st.Title, st.Facts, st.Set)
	r, keys := r.CutBottom(1)
	keyrow.Draw(s, keys, st.Keys, st.Set)
	if h >= 24 {
		_, r = r.CutTop(1)
	}
	n := st.drawSentence(s, r)
	_, r = r.CutTop(n + 1)
	if about := min(aboutColumn, r.H-5); about > 1 && len(st.Columns) > 0 {
		var words widget.Rect
		r, words = r.CutBottom(about)
		rule, words := words.CutTop(1)
		s.Rule(rule, st.Set)
		st.drawAbout(s, words)
	}
	st.drawColumns(s, r)
	return s.Painted()
}

// drawSentence says what to do, and is the number of rows that it took.
func (st Learn) drawSentence(s *widget.Sheet, r widget.Rect) int {
	ink, stripe, mark := st.look()
	_, words := r.CutLeft(2)
	row := s.PutWords(words, 0, 2, ink, mark+" "+st.Sentence, st.Set)
	_, words = words.CutLeft(2)
	row = s.PutWords(words, row, 2, widget.Plain, st.Why, st.Set)
	edge, _ := r.CutTop(row)
	s.Edge(edge, ink, stripe)
	return row
}

// Widths of a column of cells.
const (
	narrowCell = 8
	wideCell   = 16
)

// width of a column in cells of the screen.
func (c LearnColumn) width(set *widget.Set) int {
	w := max(narrowCell, widget.Width(set.Text(c.Is))+2)
	for _, cell := range c.Cells {
		w = max(w, widget.Width(set.Text(cell))+2)
	}
	return min(w, wideCell)
}

// drawColumns draws the columns, what each is above the cells, as many of them
// as there is room for with the one at the cursor among them.
func (st Learn) drawColumns(s *widget.Sheet, r widget.Rect) {
	from := 0
	for used := 0; from < st.At; from++ {
		used = 0
		for i := from; i <= st.At && i < len(st.Columns); i++ {
			used += st.Columns[i].width(st.Set) + 1
		}
		if used <= r.W {
			break
		}
	}
	x := r.X
	for i := from; i < len(st.Columns); i++ {
		c := st.Columns[i]
		w := c.width(st.Set)
		if x+w > r.X+r.W {
			break
		}
		st.drawColumn(s, widget.Rect{X: x, Y: r.Y, W: w, H: r.H}, c, i)
		x += w + 1
	}
}

func (st Learn) drawColumn(s *widget.Sheet, r widget.Rect, c LearnColumn, i int) {
	set := st.Set
	ink, mark := widget.Plain, " "
	switch {
	case c.Asked:
		ink = widget.Warn
	case c.Is != "":
		ink = widget.Strong
	}
	if i == st.At {
		mark = set.Act
		s.Fill(widget.Rect{X: r.X, Y: r.Y + 2, W: r.W, H: 1}, widget.Act, set.HLine)
	} else {
		s.Fill(widget.Rect{X: r.X, Y: r.Y + 2, W: r.W, H: 1}, widget.Faint, set.Dashes)
	}
	s.PutIn(r, 0, widget.Faint, fmt.Sprintf("%s %d", mark, i+1), set)
	if i == st.At {
		s.PutIn(r, 0, widget.Act, mark, set)
	}
	s.PutIn(r, 1, ink, "  "+c.Is, set)
	rows := r.H - 3
	cells := c.Cells[max(0, len(c.Cells)-max(rows, 0)):]
	for y, cell := range cells {
		ink := widget.Plain
		if i != st.At {
			ink = widget.Faint
		}
		s.PutIn(r, 3+y, ink, "  "+cell, set)
	}
}

// drawAbout says what the column at the cursor may be and cannot be, and how the
// lines are read as said.
func (st Learn) drawAbout(s *widget.Sheet, r widget.Rect) {
	row := 0
	put := func(ink widget.Ink, text string) {
		for i, line := range widget.Wrap(text, r.W-2, 2, st.Set) {
			if row < r.H {
				s.PutIn(r, row, ink, strings.Repeat("  ", i)+line, st.Set)
				row++
			}
		}
	}
	if st.Read != "" {
		put(widget.Good, st.Read)
	}
	if st.At < 0 || st.At >= len(st.Columns) {
		return
	}
	c := st.Columns[st.At]
	verb := "may be "
	if c.Sure {
		verb = "is "
	}
	for _, line := range c.Can {
		put(widget.Plain, fmt.Sprintf("%d %s%s", st.At+1, verb, line))
	}
	for _, line := range c.Not {
		put(widget.Faint, fmt.Sprintf("%d is not %s", st.At+1, line))
	}
}

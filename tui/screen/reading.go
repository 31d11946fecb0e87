package screen

import (
	"strings"

	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/widget"
)

// drawReading puts the pH: whether it has settled, big digits, and in numbers
// where it is heading and how far it is from the aim.
func drawReading(s *widget.Sheet, r widget.Rect, scale widget.Scale, st State) {
	v, set := st.View, st.Set
	if st.Display != "" {
		drawDisplay(s, r, scale, st)
		return
	}
	rows := widget.BlockDigits(widget.Steady(PH(v)), scale, set)
	top, under := r.CutTop(min(1, r.H-len(rows)-1))
	now := standingOf(v, set)
	ink := widget.Strong
	if !usable(v) {
		ink = widget.Faint
	}
	x := s.PutIn(top, 0, widget.Faint, "pH ", set)
	words := widget.FirstFit(r.X+r.W-x, set, now.shape+" "+now.word, now.shape+" "+strings.TrimSuffix(now.word, " yet"))
	s.PutIn(widget.Rect{X: x, Y: top.Y, W: r.X + r.W - x, H: top.H}, 0, widget.Strong, words, set)
	for i, row := range rows {
		s.Put(under.X, under.Y+i, ink, row)
	}
	if top.Empty() {
		s.PutIn(under, len(rows), widget.Strong, now.short(r.W, set), set)
		return
	}
	s.PutIn(below(under), len(rows), widget.Plain, widget.FirstFit(r.W-1, set, underDigits(now, distance(v))...), set)
}

// below is where words stand below the digits: a column in, so that they are not read with
// the unit that may end just before.
func below(r widget.Rect) widget.Rect {
	_, r = r.CutLeft(1)
	return r
}

// drawDisplay puts what a simulated display shows, for the person to read off and
// type, and under it what was typed last.
func drawDisplay(s *widget.Sheet, r widget.Rect, scale widget.Scale, st State) {
	rows := widget.BlockDigits(widget.Steady(st.Display), scale, st.Set)
	top, under := r.CutTop(min(1, r.H-len(rows)-1))
	s.PutIn(top, 0, widget.Faint, "display, "+st.Warm, st.Set)
	s.PutBlock(under, widget.Strong, rows)
	s.PutIn(below(under), len(rows), widget.Plain, widget.FirstFit(r.W-1, st.Set, typedLast(st.View)...), st.Set)
}

// typedLast are wordings of what was typed last, from long to short.
func typedLast(v view.View) []string {
	if !v.HasReading {
		return []string{"nothing typed yet", ""}
	}
	last := "typed " + PH(v)
	return []string{last + ", " + distance(v), last, ""}
}

// underDigits are wordings of the line under the digits, from long to short.
func underDigits(now standing, distance string) []string {
	if distance == "" || now.word != "settled" {
		return append(now.numbers, "")
	}
	return []string{now.numbers[0] + ", " + distance, distance, ""}
}

// messageRows are the rows that a message may take, those above it included.
const messageRows = 3

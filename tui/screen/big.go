package screen

import (
	"strconv"

	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/tui/widget"
)

// headline is the scales of the word and of the number.
type headline struct{ word, number widget.Scale }

// headlines are tried from the best to the one that always fits.
func headlines(large widget.Scale) []headline {
	all := []headline{
		{widget.Giant, widget.Giant}, {widget.Huge, widget.Giant}, {widget.Huge, widget.Huge},
		{widget.Large, widget.Large}, {widget.High, widget.Large}, {widget.High, widget.High},
		{widget.Medium, widget.Medium}, {widget.Tall, widget.Medium}, {widget.Tall, widget.Tall}, {widget.Small, widget.Small},
	}
	for i, h := range all {
		if h.number == large && h.word == large {
			return all[i:]
		}
	}
	return all[len(all)-1:]
}

// fitted is the largest headline that fits, if need be with less of the unit.
func (c *card) fitted(r widget.Rect, large widget.Scale, set *widget.Set) headline {
	all := headlines(large)
	unit := c.unit
	for _, h := range all {
		for n := len(unit); n >= min(1, len(unit)); n-- {
			c.unit = unit[:n]
			if c.bigWidth(h) <= r.W && h.number.Rows(set) <= r.H {
				return h
			}
		}
	}
	if h := all[len(all)-1]; c.bigWidth(h) > r.W { // the sentence has it
		c.unit = nil
	}
	return all[len(all)-1]
}

// drawBig puts word and number into a rectangle, as large as they fit but no
// larger than the scale given.
func (c card) drawBig(s *widget.Sheet, r widget.Rect, large widget.Scale, set *widget.Set) {
	h := c.fitted(r, large, set)
	rows := h.number.Rows(set)
	x := r.X
	if c.word != "" {
		low := widget.Rect{X: r.X, Y: r.Y + rows - h.word.Rows(set), W: r.W, H: r.H} // both stand on one line
		x = c.drawBlock(s, x, low, c.word, h.word, set) + c.gap(h)
	}
	if c.number == "" {
		return
	}
	x = c.drawBlock(s, x, r, c.number, h.number, set) + 1
	bottom := r.Y + rows - 1
	for i, u := range c.unit {
		y := bottom - len(c.unit) + 1 + i
		s.PutIn(widget.Rect{X: x, Y: y, W: r.X + r.W - x, H: 1}, 0, c.ink, u, set)
	}
}

func (c card) drawBlock(s *widget.Sheet, x int, r widget.Rect, text string, scale widget.Scale, set *widget.Set) int {
	for i, row := range widget.BlockDigits(text, scale, set) {
		if i < r.H {
			s.Put(x, r.Y+i, c.ink, row)
		}
	}
	return x + widget.BlockWidth(text, scale)
}

// gap is what stands between word and number.
func (c card) gap(h headline) int { return 2*h.number.W + 1 }

func (c card) bigWidth(h headline) int {
	w := 0
	if c.word != "" {
		w = widget.BlockWidth(c.word, h.word)
	}
	if c.number == "" {
		return w
	}
	if w > 0 {
		w += c.gap(h)
	}
	unit := 0
	for _, u := range c.unit {
		unit = max(unit, widget.Width(u))
	}
	return w + widget.BlockWidth(c.number, h.number) + 1 + unit
}

// drawSecond puts the second line of the card into a rectangle: the bottle with its
// place on the shelf, or what the reading comes to.
func (c card) drawSecond(s *widget.Sheet, r widget.Rect, scale widget.Scale, st State) {
	set := st.Set
	if c.second == "" || r.Empty() {
		return
	}
	if r.H < shelfRows { // no room for anything but words
		s.PutIn(r, 0, c.ink, c.badge(st.View)+c.second, set)
		return
	}
	for _, whole := range []bool{true, false} {
		shelf := shelfWidth(c, st.View, whole)
		for _, size := range []widget.Scale{scale, widget.Medium, widget.Tall, widget.Small} {
			if size.Rows(set) > r.H || shelf+widget.BlockWidth(c.second, size) > r.W || !widget.HasBlock(c.second) {
				continue
			}
			low := widget.Rect{X: r.X, Y: r.Y + r.H - size.Rows(set), W: r.W, H: size.Rows(set)}
			drawShelf(s, widget.Rect{X: r.X, Y: r.Y + r.H - shelfRows, W: shelf, H: shelfRows}, c, st, whole)
			c.drawBlock(s, r.X+shelf, low, c.second, size, set)
			return
		}
	}
	shelf := shelfWidth(c, st.View, false)
	drawShelf(s, widget.Rect{X: r.X, Y: r.Y + r.H - shelfRows, W: shelf, H: shelfRows}, c, st, false)
	s.PutIn(widget.Rect{X: r.X + shelf, Y: r.Y + r.H - 2, W: r.W - shelf, H: 1}, 0, c.ink, c.second, set)
}

// The shelf is the row of bottles in the order of the plan: the one that is meant
// drawn with its number, of the others only the numbers. A base has the shape of a
// bottle, an acid that of a flask.
const (
	shelfRows  = 3
	bottleWide = 3
	mostOnIt   = 6 // bottles; of more only the one that is meant is drawn
)

// shelfWidth is the columns of the shelf with the gap after it.
func shelfWidth(c card, v run.View, whole bool) int {
	n := len(v.Titrants)
	switch {
	case c.stock < 0 || c.stock >= n:
		return 0
	case !whole || n > mostOnIt:
		return bottleWide + 2
	}
	return n*(bottleWide+1) + 1
}

func drawShelf(s *widget.Sheet, r widget.Rect, c card, st State, whole bool) {
	if r.W == 0 {
		return
	}
	v, set := st.View, st.Set
	whole = whole && len(v.Titrants) <= mostOnIt
	x := r.X
	for i := range v.Titrants {
		number := strconv.Itoa(i + 1)
		switch {
		case i == c.stock:
			shape := set.Bottle
			if i < len(v.PerLitre) && v.PerLitre[i] < 0 {
				shape = set.Flask
			}
			for row, line := range shape {
				s.Put(x, r.Y+row, c.ink, line)
			}
			s.Put(x+1, r.Y+1, c.ink, number[:1])
		case whole:
			s.Put(x+1, r.Y+2, widget.Faint, number)
		default:
			continue
		}
		x += bottleWide + 1
	}
}

// badge is the place of the bottle in words, for where there is no room to draw it.
func (c card) badge(v run.View) string {
	if c.stock < 0 || c.stock >= len(v.Titrants) || len(v.Titrants) < 2 {
		return ""
	}
	return "[" + strconv.Itoa(c.stock+1) + "] "
}

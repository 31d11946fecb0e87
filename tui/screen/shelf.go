package screen

import (
	"strconv"
	"strings"

	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/widget"
)

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
	low := func(x, rows int) widget.Rect {
		return widget.Rect{X: r.X + x, Y: r.Y + r.H - rows, W: max(r.W-x, 0), H: rows}
	}
	for _, whole := range []bool{true, false} {
		for _, size := range []widget.Scale{scale, widget.Medium, widget.Tall, widget.Small} {
			rows := size.Rows(set)
			for _, tall := range []int{rows, shelfRows} { // the bottle as tall as the letters, else as small as it may be
				shelf := shelfOf(c, st, tall, whole)
				if rows > r.H || shelf.width()+widget.BlockWidth(c.second, size) > r.W || !widget.HasBlock(c.second) {
					continue
				}
				shelf.draw(s, low(0, shelf.rows()), c.ink)
				for i, row := range widget.BlockDigitsLow(c.second, size, set) {
					s.Put(r.X+shelf.width(), r.Y+r.H-rows+i, c.ink, row)
				}
				return
			}
		}
	}
	shelf := shelfOf(c, st, shelfRows, false)
	shelf.draw(s, low(0, shelf.rows()), c.ink)
	s.PutIn(widget.Rect{X: r.X + shelf.width(), Y: r.Y + r.H - 2, W: r.W - shelf.width(), H: 1}, 0, c.ink, c.second, set)
}

// The shelf is the row of bottles in the order of the plan: the one that is meant
// drawn with its number, of the others only the numbers. A base has the shape of a
// bottle, an acid that of a flask.
const (
	shelfRows  = 3
	bottleWide = 3
	mostOnIt   = 6 // bottles; of more only the one that is meant is drawn
)

// shelf is the bottles as they are drawn.
type shelf struct {
	n, at  int      // how many are shown, and which is meant
	bottle []string // the one that is meant; nil where none is
	only   bool     // none but that
}

// shelfOf is the shelf with a bottle of a number of rows; the others too, where the whole
// of it is asked for.
func shelfOf(c card, st State, rows int, whole bool) shelf {
	v := st.View
	n := len(v.Titrants)
	if c.stock < 0 || c.stock >= n {
		return shelf{}
	}
	acid := c.stock < len(v.PerLitre) && v.PerLitre[c.stock] < 0
	return shelf{n: n, at: c.stock, bottle: vessel(strconv.Itoa(c.stock+1), acid, rows, st.Set), only: !whole || n > mostOnIt}
}

func (h shelf) rows() int { return len(h.bottle) }

// width is the columns of the shelf with the gap after it.
func (h shelf) width() int {
	switch {
	case len(h.bottle) == 0:
		return 0
	case h.only:
		return widget.Width(h.bottle[0]) + 2
	}
	return (h.n-1)*(bottleWide+1) + widget.Width(h.bottle[0]) + 2
}

func (h shelf) draw(s *widget.Sheet, r widget.Rect, ink widget.Ink) {
	if len(h.bottle) == 0 {
		return
	}
	x := r.X
	for i := range h.n {
		switch {
		case i == h.at:
			for row, line := range h.bottle {
				s.Put(x, r.Y+row, ink, line)
			}
			x += widget.Width(h.bottle[0]) + 1
		case !h.only:
			s.Put(x+1, r.Y+h.rows()-1, widget.Faint, strconv.Itoa(i+1))
			x += bottleWide + 1
		}
	}
}

// vessel is a bottle, or a flask of acid, with its number: of three rows with the number
// as a letter, of five and more with it in large figures.
func vessel(number string, acid bool, rows int, set *widget.Set) []string {
	number = number[:1]
	shape := set.Bottle
	if acid {
		shape = set.Flask
	}
	if rows < shelfRows+2 {
		out := shape[:]
		side := []rune(shape[1])
		out[1] = string(side[0]) + number + string(side[2])
		return out
	}
	scale := widget.Small
	if rows >= 2+widget.Tall.Rows(set) {
		scale = widget.Tall
	}
	figure := widget.BlockDigits(number, scale, set)
	wide := widget.Width(figure[0]) + 2
	blank := strings.Repeat(" ", wide)
	body := append([]string{}, figure...)
	for i := range body {
		body[i] = " " + body[i] + " "
	}
	for len(body) < rows-2 {
		body = append([]string{blank}, body...)
	}
	top, side, foot := []rune(shape[0]), []rune(shape[1]), []rune(shape[2])
	if acid { // a neck, shoulders that widen, and a foot
		neck := string(top[1])
		out := []string{"  " + neck + blank[2:] + neck + "  ", " " + string(side[0]) + body[0] + string(side[2]) + " "}
		for _, line := range body[1:] {
			out = append(out, neck+" "+line+" "+neck)
		}
		return append(out, strings.Repeat(string(foot[0]), wide+4))
	}
	lid := string(top[0]) + strings.Repeat(string(foot[1]), wide) + string(top[2])
	cap := []rune(lid)
	cap[2], cap[len(cap)-3] = top[1], top[1]
	out := []string{string(cap)}
	for _, line := range body {
		out = append(out, string(side[0])+line+string(side[2]))
	}
	return append(out, string(foot[0])+strings.Repeat(string(foot[1]), wide)+string(foot[2]))
}

// badge is the place of the bottle in words, for where there is no room to draw it.
func (c card) badge(v view.View) string {
	if c.stock < 0 || c.stock >= len(v.Titrants) || len(v.Titrants) < 2 {
		return ""
	}
	return "[" + strconv.Itoa(c.stock+1) + "] "
}

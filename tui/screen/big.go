package screen

import (
	"strings"

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
	small := all[len(all)-1]
	whole := !c.falls || c.word == "" || len(all) == 1
	if !whole {
		all = all[:len(all)-1] // its word in plain letters leaves the number large
	}
	unit := c.unit
	least := min(1, len(unit))
	if c.number == "" && !c.needed {
		least = 0
	}
	for _, large := range []bool{true, false} { // with the unit in large letters, if that leaves the number large
		for _, h := range all {
			for n := len(unit); n >= least; n-- {
				c.unit = unit[:n]
				for c.tight = range 2 {
					if (!large || h.number.Halfs > 1) && c.bigWidth(h, large) <= r.W && h.number.Rows(set) <= r.H {
						return h
					}
				}
				c.tight = 0
			}
		}
	}
	if whole && c.bigWidth(small, false) <= r.W {
		return small
	}
	c.unit, c.under = nil, unit // below the number, where there is a row
	if whole && c.bigWidth(small, false) <= r.W {
		return small
	}
	if c.brief != "" {
		c.word, c.brief, c.unit, c.under = c.brief, "", unit, nil
		return c.fitted(r, large, set)
	}
	if c.number != "" && c.word != "" && c.ink == widget.Act { // how much goes before what, which the sentence has
		c.lead, c.word, c.unit, c.under = c.word, "", unit, nil
		return c.fitted(r, large, set)
	}
	if c.number != "" && c.word != "" { // the word stays large, the number goes into plain letters
		c.number, c.unit, c.under, c.needed = "", append([]string{c.number}, unit...), nil, true
		return c.fitted(r, large, set)
	}
	return small
}

// drawBig puts word and number into a rectangle, as large as they fit but no
// larger than the scale given.
func (c card) drawBig(s *widget.Sheet, r widget.Rect, large widget.Scale, set *widget.Set) {
	h := c.fitted(r, large, set)
	rows := h.number.Rows(set)
	x := r.X
	if c.lead != "" {
		s.Put(x, r.Y+rows-1, c.ink, c.lead)
		x += widget.Width(c.lead) + 1
		r.X, r.W = x, r.W-widget.Width(c.lead)-1
	}
	if c.word != "" {
		low := widget.Rect{X: r.X, Y: r.Y + rows - h.word.Rows(set), W: r.W, H: r.H} // both stand on one line
		x = c.drawBlock(s, x, low, c.word, h.word, set) + c.gap(h)
	}
	if c.number != "" {
		x = c.drawBlock(s, x, r, c.number, h.number, set) + 1
	}
	c.drawUnit(s, widget.Rect{X: x, Y: r.Y, W: r.X + r.W - x, H: rows}, h.number, set)
	if len(c.under) > 0 && rows < r.H {
		text := c.under[0]
		s.Put(max(r.X, x-1-widget.Width(text)), r.Y+rows, c.ink, text)
	}
}

// drawUnit puts the unit behind the number, its last line on the line of the number:
// in big letters where they fit, and drops with the shape of a drop above the word.
func (c card) drawUnit(s *widget.Sheet, r widget.Rect, number widget.Scale, set *widget.Set) {
	if len(c.unit) == 0 {
		return
	}
	texts := c.unit
	if text, scale, ok := c.bigUnit(r, number, set); ok {
		if text == texts[0] {
			texts = texts[1:]
		}
		c.drawBlock(s, r.X+lead(text, scale), widget.Rect{X: r.X, Y: r.Y + r.H - len(texts) - scale.Rows(set), W: r.W, H: r.H}, text, scale, set)
	}
	for i, u := range texts {
		s.PutIn(widget.Rect{X: r.X, Y: r.Y + r.H - len(texts) + i, W: r.W, H: 1}, 0, c.ink, u, set)
	}
}

// bigUnit is what stands for the unit in big letters, and how large it fits.
func (c card) bigUnit(r widget.Rect, number widget.Scale, set *widget.Set) (string, widget.Scale, bool) {
	type try struct {
		text   string
		scales []widget.Scale
		rows   int // of plain letters below
	}
	rest := len(c.unit) - 1
	tries := []try{{c.unit[0], []widget.Scale{widget.Medium, widget.Tall, widget.Small}, rest}}
	switch c.unit[0] {
	case "drop", "drops":
		tries = []try{{c.unit[0], []widget.Scale{widget.Medium, widget.Tall}, rest},
			{widget.Drop, []widget.Scale{widget.Large, widget.Medium}, rest + 1},
			{widget.SmallDrop, []widget.Scale{widget.Small}, rest + 1}}
	case "mL":
	default:
		return "", widget.Scale{}, false
	}
	for _, t := range tries {
		for _, scale := range t.scales {
			if scale.Halfs <= number.Halfs && scale.Rows(set)+t.rows <= r.H && lead(t.text, scale)+widget.BlockWidth(t.text, scale)+scale.W-1 <= r.W {
				return t.text, scale, true
			}
		}
	}
	return "", widget.Scale{}, false
}

// lead is how many columns are free before a unit in big letters, besides the one after the
// number: drops are not to run into their figures; mL has a capital, and less room.
func lead(unit string, scale widget.Scale) int {
	if strings.HasPrefix(unit, "drop") {
		return scale.W
	}
	return scale.W - 1
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
func (c card) gap(h headline) int {
	if c.number == "" {
		return 2
	}
	return 2*h.number.W + 1 - c.tight
}

// unitBlock is how wide the unit is in letters that are read from afar, beside a number.
func (c card) unitBlock(number widget.Scale) int {
	if len(c.unit) == 0 || c.unit[0] != "mL" {
		return 0 // drops have a shape
	}
	scale := widget.Small
	if number.Halfs >= widget.Large.Halfs {
		scale = widget.Tall
	}
	return lead(c.unit[0], scale) + widget.BlockWidth(c.unit[0], scale) + scale.W - 1
}

// bigWidth is how wide word, number and unit are in a headline; the unit in large letters
// where that is asked for.
func (c card) bigWidth(h headline, large bool) int {
	w := 0
	if c.lead != "" {
		w = widget.Width(c.lead) + 1
	}
	if c.word != "" {
		w += widget.BlockWidth(c.word, h.word)
	}
	if c.number == "" && len(c.unit) == 0 {
		return w
	}
	if c.word != "" {
		w += c.gap(h)
	}
	unit := 0
	for _, u := range c.unit {
		unit = max(unit, widget.Width(u))
	}
	if large {
		unit = max(unit, c.unitBlock(h.number))
	}
	if c.number == "" {
		return w + unit
	}
	return w + widget.BlockWidth(c.number, h.number) + 1 + unit
}

package screen

import (
	"fmt"
	"strings"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/tui/widget"
)

// card is what to do now, in big letters and in words.
type card struct {
	ink      widget.Ink
	stripe   string // left edge
	mark     string // before the sentence
	word     string // in capitals
	number   string // in digits; may be empty
	unit     []string
	sentence string
	why      string
}

func cardOf(st State) card {
	v, set := st.View, st.Set
	c := card{sentence: v.Sentence(), why: v.Why()}
	switch {
	case v.Silent != "":
		c.as(set, widget.Rest, "YOU", 1, set.Rest)
	case v.Falling != nil && v.Advice.Do == coach.Check:
		c.as(set, widget.Warn, "GIVEN?", 3, set.Warn)
		c.number, c.unit = ordered(v)
	case v.Falling != nil && v.Advice.Do == coach.Add:
		c.as(set, widget.Act, "ADDING", 0, set.Act)
		c.number, c.unit = ordered(v)
	case v.Advice.Do == coach.Add:
		c.as(set, widget.Act, "ADD", 0, set.Act)
		c.number, c.unit = amount(v)
		if v.Was > 0 {
			c.number, c.unit = ordered(v)
			c.unit = append(c.unit[:1:1], fmt.Sprintf("was %g", v.Was))
		}
	case v.Advice.Do == coach.Stop:
		c.as(set, widget.Good, "DONE", 2, set.Good)
		if v.Doubtful != "" {
			c.as(set, widget.Warn, "DONE ?", 3, set.Warn)
		}
	case v.Advice.Do == coach.Check:
		c.as(set, widget.Warn, "CHECK", 3, set.Warn)
	case v.Due():
		c.as(set, widget.Act, "READ", 0, set.Act)
		if c.unit = []string{"the pH"}; v.Next.Stands {
			c.unit = []string{"the pH", "when it stands"}
		}
	case v.Next != nil && v.Advice.Reason != coach.HandsOff:
		c.as(set, widget.Rest, "WAIT", 1, set.Rest)
		c.number, c.unit = fmt.Sprintf("%.0f", v.Next.Told()), []string{"s"}
	case v.Advice.Reason == coach.HandsOff:
		c.as(set, widget.Rest, "HANDS OFF", 1, set.Rest)
	case v.HasReading && !usable(v): // the reading has gone
		c.as(set, widget.Warn, "WAIT", 3, set.Warn)
	default:
		c.as(set, widget.Rest, "WAIT", 1, set.Rest)
	}
	if g := v.Giving; g != nil {
		c.giving(g, set)
	}
	if st.Hand.Counting {
		c.count(st)
	}
	return c
}

func (c *card) as(set *widget.Set, ink widget.Ink, word string, stripe int, mark string) {
	c.ink, c.word, c.stripe, c.mark = ink, word, set.Stripes[stripe], mark
	c.number, c.unit = "", nil
}

// amount is the dose of an advice as number and unit.
func amount(v run.View) (string, []string) {
	f := strings.Fields(run.Amount(v.Advice.Drops, v.Advice.Volume))
	if v.Advice.Drops == 0.5 {
		return "0.5", []string{"drop"}
	}
	if len(f) < 2 {
		return "", nil
	}
	unit := []string{f[1]}
	if len(f) > 2 {
		unit = append(unit, strings.Join(f[2:], " "))
	}
	return f[0], unit
}

// ordered is an order that is being carried out as a number and the bottle.
func ordered(v run.View) (string, []string) {
	number, unit := amount(v)
	if len(unit) > 1 && strings.HasPrefix(unit[1], "(") { // drops are what is counted
		number, unit = fmt.Sprintf("%g", v.Advice.Drops), []string{drops(v.Advice.Drops)}
	}
	return number, append(unit[:min(1, len(unit)):1], v.Titrant)
}

// giving turns the card into what is left of drops that fall by themselves.
func (c *card) giving(g *run.Giving, set *widget.Set) {
	left := g.Drops - g.Fallen
	c.as(set, widget.Act, "ADDING", 0, set.Act)
	c.number, c.unit = fmt.Sprintf("%g", left), []string{"to fall", fmt.Sprintf("%g of %g", g.Fallen, g.Drops)}
	c.sentence = fmt.Sprintf("ADDING %g %s of %s", g.Drops, drops(g.Drops), g.Titrant)
	c.why = "the drops fall one by one; it is recorded when all are in"
}

// count turns the card into a counter of falling drops.
func (c *card) count(st State) {
	h, set := st.Hand, st.Set
	left := h.Wanted - h.Counted
	switch {
	case h.Wanted == 0 && st.View.Silent != "":
		c.as(set, widget.Act, "", 0, set.Act)
		c.number, c.unit = fmt.Sprintf("%g", h.Counted), []string{drops(h.Counted), "counted"}
		c.sentence = fmt.Sprintf("%g %s of %s counted", h.Counted, drops(h.Counted), h.Titrant)
		c.why = "Space counts the next, Enter records them, Esc forgets the count"
	case h.Wanted == 0:
		c.as(set, widget.Warn, "", 3, set.Warn)
		c.number, c.unit = fmt.Sprintf("%g", h.Counted), []string{drops(h.Counted), "counted"}
		c.sentence = fmt.Sprintf("CHECK: %g %s of %s counted, none were advised", h.Counted, drops(h.Counted), h.Titrant)
		c.why = "Enter records them, Esc forgets the count"
	case left > 0:
		c.as(set, widget.Act, "ADD", 0, set.Act)
		c.number, c.unit = fmt.Sprintf("%g", left), []string{"more", fmt.Sprintf("%g of %g", h.Counted, h.Wanted)}
		c.sentence = fmt.Sprintf("ADD %g more %s of %s", left, drops(left), h.Titrant)
		c.why = fmt.Sprintf("%g of the %g ordered have fallen; Space counts the next, Enter when all are in", h.Counted, h.Wanted)
	case left == 0:
		c.as(set, widget.Act, "STOP", 2, set.Good)
		c.sentence = fmt.Sprintf("STOP, that was drop %g of %g of %s", h.Counted, h.Wanted, h.Titrant)
		c.why = "Enter records them; if the number was another one, type it"
	default:
		c.as(set, widget.Warn, "STOP", 3, set.Warn)
		c.sentence = fmt.Sprintf("STOP, %g %s of %s, %g too many", h.Counted, drops(h.Counted), h.Titrant, -left)
		c.why = "Enter asks whether the order or the count is in the beaker"
	}
}

func drops(n float64) string {
	if n == 1 {
		return "drop"
	}
	return "drops"
}

// headline is the scales of the big letters of a card.
type headline struct{ word, number widget.Scale }

// headlines are tried from the best to the one that always fits.
func headlines(large widget.Scale) []headline {
	all := []headline{
		{widget.Huge, widget.Huge}, {widget.Large, widget.Large}, {widget.Medium, widget.Large},
		{widget.Medium, widget.Medium}, {widget.Small, widget.Medium}, {widget.Small, widget.Small},
	}
	for i, h := range all {
		if h.number == large {
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
	x := r.X
	if c.word != "" {
		x = c.drawBlock(s, x, r, c.word, h.word, set) + h.number.W + 2
	}
	if c.number == "" {
		return
	}
	x = c.drawBlock(s, x, r, c.number, h.number, set) + 1
	bottom := r.Y + h.number.Rows(set) - 1
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

func (c card) bigWidth(h headline) int {
	w := 0
	if c.word != "" {
		w = widget.BlockWidth(c.word, h.word) + h.number.W + 2
	}
	if c.number == "" {
		return w - h.number.W - 2
	}
	unit := 0
	for _, u := range c.unit {
		unit = max(unit, widget.Width(u))
	}
	return w + widget.BlockWidth(c.number, h.number) + 1 + unit
}

package screen

import (
	"fmt"
	"slices"
	"strings"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/meter/calib/walk"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/widget"
)

// card is what to do now, in big letters and in words.
type card struct {
	ink      widget.Ink
	stripe   string // left edge
	mark     string // before the sentence
	word     string // in capitals
	brief    string // instead of word, where that leaves no room for the number; may be empty
	number   string // in digits; may be empty
	unit     []string
	under    []string // the unit, where it is to stand below the number
	lead     string   // the word in plain letters before the number, where there is no room for both
	tight    int      // columns that the gap before the number is narrower, where it is larger for that
	needed   bool     // the unit has the number, and is not left out
	falls    bool     // the number runs down: it is not to shrink when it loses a figure
	second   string   // in big letters below: the bottle, or the pH it comes to
	stock    int      // the bottle of second, by its place in the plan; -1 when it is none
	sentence string
	why      string
}

func cardOf(st State) card {
	v, set := st.View, st.Set
	c := card{sentence: v.Sentence(), why: v.Why(), stock: -1}
	switch {
	case v.Silent != "":
		c.as(set, widget.Rest, "YOU", 1, set.Rest)
	case v.Away != nil:
		c.away(v, set)
	case noMore(v):
		c.as(set, widget.Warn, "STOP", 3, set.Warn)
		c.from(v, v.Titrant)
	case v.Falling != nil && v.Advice.Do == coach.Check:
		c.as(set, widget.Warn, "GIVEN?", 3, set.Warn)
		c.number, c.unit = ordered(v)
		c.from(v, v.Titrant)
	case v.Falling != nil && v.Advice.Do == coach.Add:
		c.as(set, widget.Act, "ADDING", 0, set.Act)
		c.brief = "ADD"
		c.number, c.unit = ordered(v)
		c.from(v, v.Titrant)
	case v.Advice.Do == coach.Add:
		c.as(set, widget.Act, "ADD", 0, set.Act)
		c.number, c.unit = amount(v)
		if v.Was > 0 {
			c.number, c.unit = ordered(v)
			c.unit = append(c.unit[:1:1], fmt.Sprintf("was %g", v.Was))
		}
		c.from(v, v.Titrant)
	case v.Advice.Do == coach.Stop:
		c.as(set, widget.Good, "DONE", 2, set.Good)
		if v.Doubtful != "" {
			c.as(set, widget.Warn, "DONE?", 3, set.Warn)
		}
		switch f := v.Found; {
		case f != nil && !f.Hidden:
			c.second = answer(f)
		case v.AtRest:
			c.second = "pH " + widget.Number(v.Read.PH, decimals(v))
		}
	case v.Advice.Do == coach.Check:
		c.as(set, widget.Warn, "CHECK", 3, set.Warn)
	case v.Due():
		c.as(set, widget.Act, "READ", 0, set.Act)
		if c.unit = []string{"the pH"}; v.Next.Stands {
			c.unit = []string{"the pH", "once steady"}
		}
	case v.Next != nil && v.Advice.Reason != coach.HandsOff:
		c.as(set, widget.Rest, "WAIT", 1, set.Rest)
		c.number, c.unit = fmt.Sprintf("%.0f", v.Next.Told()), []string{"s"}
	case v.Advice.Reason == coach.HandsOff:
		c.as(set, widget.Rest, "HANDS OFF", 1, set.Rest)
		c.second = heading(v)
	case v.HasReading && !usable(v): // the reading has gone
		c.as(set, widget.Warn, "WAIT", 3, set.Warn)
	default:
		c.as(set, widget.Rest, "WAIT", 1, set.Rest)
		c.second = heading(v)
	}
	if g := v.Giving; g != nil {
		c.giving(v, g, set)
	}
	if st.Hand.Counting {
		c.count(st)
	}
	return c
}

func (c *card) as(set *widget.Set, ink widget.Ink, word string, stripe int, mark string) {
	c.ink, c.word, c.stripe, c.mark = ink, word, set.Stripes[stripe], mark
	c.brief, c.number, c.unit, c.second, c.stock = "", "", nil, "", -1
}

// answer is what was found, as short as it may be said.
func answer(f *view.Finding) string {
	number, rest, _ := strings.Cut(f.Short(), " ± ")
	switch f.What {
	case find.Strength:
		return number + " M"
	case find.Constant:
		return number
	}
	words := strings.Fields(rest)
	if len(words) < 2 {
		return number
	}
	return number + " " + words[len(words)-1]
}

// from names the bottle that an addition is from.
func (c *card) from(v view.View, titrant string) {
	c.second, c.stock = titrant, slices.Index(v.Titrants, titrant)
}

// heading is where the reading will end, when that can be said.
func heading(v view.View) string {
	if st := standingOf(v, &widget.Unicode); usable(v) && !v.Settled() && len(st.numbers) > 0 {
		return "to " + widget.Number(v.Settling.End, min(decimals(v), v.EndDigits()))
	}
	return ""
}

// amount is the dose of an advice as number and unit.
func amount(v view.View) (string, []string) {
	f := strings.Fields(view.Amount(v.Advice.Drops, v.Advice.Volume))
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

// ordered is an order that is being carried out as a number with its unit.
func ordered(v view.View) (string, []string) {
	number, unit := amount(v)
	if len(unit) > 1 && strings.HasPrefix(unit[1], "(") { // drops are what is counted
		number, unit = fmt.Sprintf("%g", v.Advice.Drops), []string{drops(v.Advice.Drops)}
	}
	return number, unit[:min(1, len(unit)):1]
}

// away is the card of a check in standards.
func (c *card) away(v view.View, set *widget.Set) {
	switch w := v.Away; w.Stage {
	case walk.Immerse:
		c.as(set, widget.Act, "DIP", 0, set.Act)
		c.number, c.unit = w.Name, []string{"standard", fmt.Sprintf("%d of %d", w.Number, w.Of)}
	case walk.Ask:
		c.as(set, widget.Warn, "CHECK", 3, set.Warn)
	case walk.Done:
		c.as(set, widget.Act, "BACK", 0, set.Act)
	default:
		c.as(set, widget.Rest, "WAIT", 1, set.Rest)
		c.number, c.unit = w.Name, []string{"standard", fmt.Sprintf("%d of %d", w.Number, w.Of)}
	}
}

// giving turns the card into what is left of drops that fall by themselves.
func (c *card) giving(v view.View, g *view.Giving, set *widget.Set) {
	left := g.Drops - g.Fallen
	c.as(set, widget.Act, "ADDING", 0, set.Act)
	c.falls = true
	c.number, c.unit = fmt.Sprintf("%g", left), []string{"to fall", fmt.Sprintf("%g of %g", g.Fallen, g.Drops)}
	c.from(v, g.Titrant)
	c.sentence = fmt.Sprintf("ADDING %g %s of %s", g.Drops, drops(g.Drops), g.Titrant)
	c.why = "the drops fall one by one; it is recorded when all are in"
}

// count turns the card into a counter of falling drops.
func (c *card) count(st State) {
	h, set := st.Hand, st.Set
	left := h.Wanted - h.Counted
	switch {
	case noMore(st.View):
		c.as(set, widget.Warn, "STOP", 3, set.Warn)
		c.number, c.unit = fmt.Sprintf("%g", h.Counted), []string{"counted", fmt.Sprintf("of %g", h.Wanted)}
		c.sentence = st.View.Sentence()
		c.why = fmt.Sprintf("%s is past the aim already: type how many fell, %g or more; Enter alone: all %g", widget.Number(st.View.PH, decimals(st.View)), h.Counted, h.Wanted)
	case h.Wanted == 0 && st.View.Silent != "":
		c.as(set, widget.Act, "", 0, set.Act)
		c.number, c.unit = fmt.Sprintf("%g", h.Counted), []string{drops(h.Counted), "counted"}
		c.sentence = fmt.Sprintf("%g %s of %s counted", h.Counted, drops(h.Counted), h.Titrant)
		c.why = "Space counts the next, Enter records them, Esc clears the count"
	case h.Wanted == 0:
		c.as(set, widget.Warn, "", 3, set.Warn)
		c.number, c.unit = fmt.Sprintf("%g", h.Counted), []string{drops(h.Counted), "counted"}
		c.sentence = fmt.Sprintf("CHECK: %g %s of %s counted, none were advised", h.Counted, drops(h.Counted), h.Titrant)
		c.why = "Enter records them, Esc clears the count"
	case left > 0:
		c.as(set, widget.Act, "ADD", 0, set.Act)
		c.number, c.unit = fmt.Sprintf("%g", left), []string{"more", fmt.Sprintf("%g of %g", h.Counted, h.Wanted)}
		c.sentence = fmt.Sprintf("ADD %g more %s of %s", left, drops(left), h.Titrant)
		c.why = fmt.Sprintf("%g of the %g ordered have fallen; Space: the next, Enter: all in", h.Counted, h.Wanted)
	case left == 0:
		c.as(set, widget.Act, "STOP", 2, set.Good)
		c.sentence = fmt.Sprintf("STOP, that was drop %g of %g of %s", h.Counted, h.Wanted, h.Titrant)
		c.why = "Enter records them; if it was another number, type that"
	default:
		c.as(set, widget.Warn, "STOP", 3, set.Warn)
		c.number, c.unit = fmt.Sprintf("%g", -left), []string{"too many", fmt.Sprintf("%g of %g", h.Counted, h.Wanted)}
		c.sentence = fmt.Sprintf("STOP, %g %s of %s, %g too many", h.Counted, drops(h.Counted), h.Titrant, -left)
		c.why = "Enter asks which is in the beaker: the order or the count"
	}
	c.from(st.View, h.Titrant)
}

// noMore reports whether an addition that is being given has gone past the aim.
func noMore(v view.View) bool {
	return v.Falling != nil && v.Falling.Past && v.Advice.Reason == coach.Unsaid
}

func drops(n float64) string {
	if n == 1 {
		return "drop"
	}
	return "drops"
}

// drawWords puts the sentence of a card behind its mark, and the reason below it.
func drawWords(s *widget.Sheet, r widget.Rect, ink widget.Ink, mark, sentence, why string, set *widget.Set) {
	s.PutIn(r, 0, ink, mark, set)
	_, r = r.CutLeft(widget.Width(set.Text(mark)) + 1)
	rows := widget.Wrap(sentence, r.W, sentenceRows(r.H), set)
	for i, row := range rows {
		s.PutIn(r, i, ink, row, set)
	}
	_, r = r.CutTop(len(rows))
	for i, row := range widget.Wrap(why, r.W, r.H, set) {
		s.PutIn(r, i, widget.Plain, row, set)
	}
}

// sentenceRows are the rows that a sentence may have of a number of rows.
func sentenceRows(h int) int { return max(2, min(3, h-2)) }

// aside is the note of a sentence that has no room for it and goes into rows of its own, as
// much of it as those hold; it is empty where it has room.
func aside(why string, r widget.Rect, row int, set *widget.Set) (said, note string) {
	said, note, ok := strings.Cut(why, "; note: ")
	if !ok || len(widget.Wrap(why, r.W, r.H+1, set)) <= r.H {
		return why, ""
	}
	return said, strings.Join(widget.Wrap("note: "+note, row, noteRows, set), " ")
}

// noteRows are the rows that a note may have below the card.
const noteRows = 3

package screen

import (
	"slices"
	"strings"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/widget"
)

// pastHeight is the smallest height at which a run that is looked back on has a place.
const pastHeight = 19

// Coach draws the screen of a titration: h rows of at most w columns.
func Coach(st State, w, h int) string {
	if len(st.Help) > 0 {
		return keyrow.Help(w, h, st.Help, st.Page, st.Set, keyrow.Words{Title: "Keys of the titration", Caution: keyrow.Caution, Back: "Esc, Enter or ? goes back; the run continues"})
	}
	s := widget.NewSheet(w, h)
	switch {
	case st.Past && w >= widget.FullWidth && h >= pastLeast && h < pastHeight:
		drawPast(s, st)
	case w < widget.FullWidth || h < widget.FullHeight && !(st.Past && h >= pastHeight):
		drawCompact(s, st)
	default:
		drawFull(s, st)
	}
	return s.Painted()
}

// plan is how the rows of the full screen are shared out. The rows of the card
// hang on the size of the screen alone, so that nothing below it jumps.
type plan struct {
	header, alarm, card, lane, rule, bottom, message, keys widget.Rect

	big     widget.Scale // of what to do
	second  widget.Scale // of the bottle
	reading widget.Scale // of the pH
	under   int          // rows for the bottle
	words   int          // rows for the sentence and the reason
}

func planOf(st State, s *widget.Sheet) plan {
	w, h := s.W, s.H
	p := plan{big: widget.Medium, second: widget.Small, reading: widget.Small, words: 3}
	switch {
	case w >= 150 && h >= 48:
		p.big, p.second, p.reading = widget.Giant, widget.Large, widget.Large
	case w >= 100 && h >= 34:
		p.big, p.second, p.reading = widget.Large, widget.Medium, widget.Medium
	}
	rest, air := s.Page(), min(1, h/26)
	p.header, rest = rest.CutTop(1)
	if st.View.Alarm != "" {
		p.alarm, rest = rest.CutTop(1)
	}
	_, rest = rest.CutTop(air)
	if p.under = p.second.Rows(st.Set); p.under > shelfRows && h < 28 {
		p.under = shelfRows // where a row is a pixel, words
	}
	if h >= 34 {
		p.under++ // a free row, so that large letters do not touch
	}
	if h >= 26 {
		p.words = 4
	}
	if st.Past && h < 34 {
		p.big, p.under, p.words = widget.Small, 0, 3
		if h >= 21 {
			p.words = 4 // of which the sign below the pH takes one
		}
	}
	p.card, rest = rest.CutTop(p.big.Rows(st.Set) + p.under + p.words)
	p.lane, rest = rest.CutTop(widget.LaneRows)
	rest, p.keys = rest.CutBottom(1)
	rest, p.message = rest.CutBottom(1)
	p.rule, p.bottom = rest.CutTop(air)
	return p
}

func drawFull(s *widget.Sheet, st State) {
	p := planOf(st, s)
	drawHeader(s, p.header, st)
	drawAlarm(s, p.alarm, st)
	note := drawCard(s, p.card, p, st)
	if st.View.Found != nil {
		drawAnswer(s, p.lane.Inset(2), st)
	} else {
		l := lane(st)
		if p.bottom.H < widget.LeastCurve { // else it stands beside the curve
			l.Within = " ±" + within(st.View)
		}
		l.Draw(s, p.lane.Inset(2), st.Set)
	}
	s.Rule(p.rule, st.Set)
	drawBottom(s, p.bottom, st)
	if text, _ := messageOf(st); text == "" {
		st.Said = note
	}
	drawMessage(s, p.message, st)
	keyrow.Draw(s, p.keys, st.Keys, st.Set)
}

// drawHeader puts the name of the run and its facts into a row: the link and the calibration
// go before temperature and clock.
func drawHeader(s *widget.Sheet, r widget.Rect, st State) {
	v, set := st.View, st.Set
	source := "as planned"
	if v.Measured {
		source = "measured"
	}
	var line string
	if l := link(v); l != "" {
		line = l + " · "
	}
	if st.Bell {
		line = "bell on · " + line
	}
	temp, clock := degrees(v.BenchTemp), phrase.Watch(v.T)
	room := max(r.W-2-widget.Width(set.Text(v.Name)), r.W*2/5)
	cases := []string{line + temp + " " + source + " · " + clock, line + temp + " · " + clock, line + clock}
	if c := v.Calibration; c != "" { // what the pH rests on goes before the rest
		room = max(room, r.W*3/5)
		all := line + c + " · " + temp
		cases = []string{all + " " + source + " · " + clock, all + " · " + clock, line + c + " · " + clock, c + " · " + clock}
		if down := v.Link == "lost" || v.Link == "quiet"; down {
			cases = append(cases[:3:3], line+clock)
		}
	}
	facts := widget.FirstFit(room, set, cases...)
	ink := widget.Plain
	if v.Link == "lost" || v.Link == "quiet" {
		facts, ink = set.Warn+" "+facts, widget.Warn
	}
	s.PutRight(r, 0, ink, facts, set)
	name := widget.Rect{X: r.X, Y: r.Y, W: r.W - widget.Width(facts) - 2, H: 1}
	s.PutIn(name, 0, widget.Strong, v.Name, set)
}

func drawAlarm(s *widget.Sheet, r widget.Rect, st State) {
	if r.Empty() {
		return
	}
	s.Fill(r, widget.Alarm, " ")
	s.PutIn(r, 0, widget.Alarm, " ! "+st.View.Alarm, st.Set)
}

// drawBottom puts the curve with what was asked for and done beside it. Where there
// is no room for a curve the list stands in its place.
func drawBottom(s *widget.Sheet, r widget.Rect, st State) {
	if r.H < widget.LeastCurve {
		left, right := r.CutLeft(r.W / 2)
		list := facts(st, left.W-1)
		slices.SortStableFunc(list, func(a, b inked) int { return a.rank - b.rank })
		for i, line := range list {
			s.PutIn(widget.Rect{X: left.X, Y: left.Y, W: left.W - 1, H: left.H}, i, line.ink, line.text, st.Set)
		}
		drawAdditions(s, right, st)
		return
	}
	side := min(46, max(27, r.W*3/8))
	left, right := r.CutRight(side)
	left.W -= 2
	curve := graph(st)
	curve.Draw(s, left, st.Set)
	if len(curve.Curve) == 0 && (st.View.Silent != "" || st.View.Unweighed) { // nothing is predicted there
		for i, line := range widget.Wrap("your readings are drawn here after the first addition", left.W, left.H, st.Set) {
			s.PutIn(left, i, widget.Faint, line, st.Set)
		}
	}
	drawSide(s, right, st)
}

// drawCard draws it, and gives back a note that fits only elsewhere.
func drawCard(s *widget.Sheet, r widget.Rect, p plan, st State) (note string) {
	c, set := cardOf(st), st.Set
	s.Edge(r, c.ink, c.stripe)
	_, r = r.CutLeft(2)
	big, words := r.CutTop(p.big.Rows(set))
	least := 18
	if s.W >= 72 {
		least = 20
	}
	// The width hangs on nothing that changes from reading to reading.
	shown := PH(st.View)
	if st.Display != "" {
		shown = st.Display
	}
	width := max(widget.BlockWidth(widget.Steady(shown), p.reading), least)
	left, right := big.CutRight(width)
	left.W -= 2 // without colours only the gap tells the number from the reading
	if len(c.unit) > 0 && c.unit[0] == "mL" {
		left.W++ // a letter ends before it
	}
	if c.word == "HANDS OFF" && c.bigWidth(headline{widget.Small, widget.Small}, false) > left.W {
		c.word, c.second = "HANDS", strings.TrimSpace("OFF "+c.second)
	}
	if p.under == 0 {
		c.second = "" // the sentence has it
	}
	if c.second != "" {
		var under widget.Rect
		under, words = words.CutTop(p.under)
		if p.second.Rows(set) > p.under {
			under.Y, under.H = under.Y+under.H-1, 1
		}
		c.drawSecond(s, under, p.second, st)
	}
	low := right
	if p.reading.Rows(set)+2 > right.H { // without half blocks the pH is taller
		low.H = p.reading.Rows(set) + 1
		if c.second == "" {
			_, words = words.CutTop(max(low.H-right.H, 0))
		}
	}
	if st.View.Found != nil && st.View.Advice.Do == coach.Stop {
		words.H++
	}
	c.drawBig(s, left, p.big, set)
	drawReading(s, low, p.reading, st)
	room := widget.Rect{W: words.W - widget.Width(set.Text(c.mark)) - 1, H: words.H - 1}
	room.H -= len(widget.Wrap(c.sentence, room.W, sentenceRows(words.H), set)) - 1
	c.why, note = aside(c.why, room, s.W-2, set)
	drawWords(s, words, c.ink, c.mark, c.sentence, c.why, set)
	return note
}

func drawMessage(s *widget.Sheet, r widget.Rect, st State) {
	set := st.Set
	text, ink := messageOf(st)
	if st.Prompt == "" && st.Hand.Typed != "" { // the number in hand goes before any remark but why it is not taken
		if text = set.Text(text); widget.Width(text) > r.W {
			if text = typed(st.Hand); st.Wrong {
				text += " (" + st.Message + ")"
			}
		}
	}
	if ink == widget.Warn {
		text = set.Warn + " " + text
	}
	lines := widget.Wrap(text, r.W, messageRows+1, set)
	if ink == widget.Input && (len(lines) > messageRows || strings.Join(lines, " ") != set.Text(text)) {
		text, lines = widget.FitEnd(text, r.W, set), nil // what is typed stands at its end
	}
	if lines = lines[:min(len(lines), messageRows)]; len(lines) > 1 && r.Y >= len(lines) { // over what is above it, for as long as it stands there
		r.Y, r.H = r.Y-len(lines)+1, len(lines)
		s.Fill(widget.Rect{Y: r.Y, W: s.W, H: r.H}, widget.Plain, " ")
		for i, line := range lines {
			s.PutIn(r, i, ink, line, set)
		}
		return
	}
	s.PutIn(r, 0, ink, text, set)
}

// messageOf is the line over the hints: what is being asked or typed, else the
// answer to the last key, else what came of the last wish.
func messageOf(st State) (string, widget.Ink) {
	h := st.Hand
	switch {
	case st.Prompt != "" && st.Wrong: // a key that is no answer
		if strings.Contains(st.Prompt, st.Message) {
			return st.Prompt, widget.Warn
		}
		return st.Prompt + " (" + st.Message + ")", widget.Warn
	case st.Prompt != "":
		return st.Prompt, widget.Input
	case h.Typed != "":
		return typed(h) + tail(st), widget.Input
	case st.Message != "" && st.Wrong:
		return st.Message, widget.Warn
	case st.Message != "":
		return st.Message, widget.Plain
	case st.View.Poor != "":
		return st.View.Poor, widget.Warn
	case st.View.Unused != "" && st.View.Advice.Reason != coach.Faulty: // else the card says it
		return "not used: " + st.View.Unused, widget.Warn
	case st.Refused:
		return st.Said, widget.Warn
	}
	return st.Said, widget.Plain
}

// tail is the message after what is being typed, so that neither hides the other.
func tail(st State) string {
	if st.Message == "" {
		return ""
	}
	return "  (" + st.Message + ")"
}

func typed(h Hand) string {
	if h.PH {
		return "pH " + strings.TrimSuffix(h.Typed, "p") + "_"
	}
	unit := "drops"
	digits := h.Typed
	if d, ok := strings.CutSuffix(digits, "m"); ok || h.ML {
		digits, unit = d, "mL"
	}
	text := "added " + digits + "_ " + unit + " of " + h.Titrant
	if h.Other {
		text += " (not the one advised)"
	}
	return text
}

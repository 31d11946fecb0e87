package screen

import (
	"strings"

	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/widget"
)

// Mood is what the calibration wants of the person, and with it the look of
// its card.
type Mood uint8

// The moods.
const (
	DoNow   Mood = iota // put the electrode into the standard
	LetBe               // wait for the reading
	LookAt              // something is odd
	AllSet              // all standards have been read
	Offered             // go on with one that was broken off, or begin anew
)

// Dip is one standard of a calibration in the list at the side.
type Dip struct {
	Name  string // as on the bottle
	Value string // what was read in it; empty until it has been
	Now   bool   // it is the one in hand
}

// Calibration is everything that the calibration screen shows.
type Calibration struct {
	Title string // what is being calibrated
	Facts string // of meter and time, at the right
	Odd   bool   // Facts are about something wrong

	Mood     Mood
	Big      string // nominal value of the standard in hand
	Sentence string // what to do
	Why      string // how, or why

	Reading string // present value, in digits
	Unit    string // of Reading
	Under   string // where it is heading

	Trace   []widget.Point // the reading over time, s
	Expect  float64        // what an ideal electrode would show; in the unit of Reading
	Near    float64        // half width of the strip about Expect
	Expects string         // names the strip

	Dips []Dip
	Keys []keyrow.Key
	Help []keyrow.Key // not empty while the keys are shown

	Typed   string // digits of a temperature that is being typed
	Message string // answer to the last key
	Wrong   bool   // the key did nothing

	Set *widget.Set
}

// looks are word, ink, stripe and mark of the moods.
func (st Calibration) look() (word string, ink widget.Ink, stripe, mark string) {
	set := st.Set
	switch st.Mood {
	case DoNow:
		return "DIP", widget.Act, set.Stripes[0], set.Act
	case LookAt:
		return "CHECK", widget.Warn, set.Stripes[3], set.Warn
	case Offered:
		return "RESUME?", widget.Act, set.Stripes[0], set.Act
	case AllSet:
		return "DONE", widget.Good, set.Stripes[2], set.Good
	}
	return "WAIT", widget.Rest, set.Stripes[1], set.Rest
}

// Calibrate draws the screen of a calibration: h rows of at most w columns.
func Calibrate(st Calibration, w, h int) string {
	if st.Typed != "" {
		st.Sentence = "the standards are at " + st.Typed + " °C: Enter, or Esc"
	}
	if len(st.Help) > 0 {
		return keyrow.Help(w, h, st.Help, 0, st.Set, keyrow.Words{Title: "Keys of the calibration", Caution: keyrow.Caution, Back: "any key goes back; the calibration is still running"})
	}
	s := widget.NewSheet(w, h)
	if w < widget.FullWidth || h < widget.FullHeight {
		st.drawSmall(s)
	} else {
		st.drawFull(s)
	}
	return s.Painted()
}

func (st Calibration) drawFull(s *widget.Sheet) {
	r := s.Page()
	head, r := r.CutTop(1)
	st.drawHead(s, head)
	_, r = r.CutTop(min(1, s.H/24))
	scale := widget.Medium
	if s.W >= 100 && s.H >= 34 {
		scale = widget.Large
	}
	_, _, _, mark := st.look()
	lines := len(widget.Wrap(mark+" "+st.Sentence, r.W-2, 2, st.Set))
	why := 3
	if s.W < 72 {
		why = 4 // the same words in more rows
	}
	top, r := r.CutTop(scale.Rows(st.Set) + why + lines)
	st.drawCard(s, top, scale)
	r, keys := r.CutBottom(1)
	if st.Message != "" {
		var row widget.Rect
		r, row = r.CutBottom(1)
		drawMessage(s, row, State{Message: st.Message, Wrong: st.Wrong, Set: st.Set})
	}
	rule, r := r.CutTop(1)
	s.Rule(rule, st.Set)
	left, right := r.CutRight(min(46, max(26, r.W*3/8)))
	left.W -= 2
	st.drawTrace(s, left)
	st.drawDips(s, right)
	keyrow.Draw(s, keys, st.Keys, st.Set)
}

func (st Calibration) drawHead(s *widget.Sheet, r widget.Rect) {
	facts, ink := st.Facts, widget.Plain
	if st.Odd {
		facts, ink = st.Set.Warn+" "+facts, widget.Warn
	}
	facts = widget.Fit(facts, max(r.W-widget.Width(st.Set.Text(st.Title))-2, r.W/2), st.Set)
	s.PutRight(r, 0, ink, facts, st.Set)
	s.PutIn(widget.Rect{X: r.X, Y: r.Y, W: r.W - widget.Width(facts) - 2, H: 1}, 0, widget.Strong, st.Title, st.Set)
}

// drawCard puts what to do in big letters, the reading beside it, the sentence
// and the reason under both.
func (st Calibration) drawCard(s *widget.Sheet, r widget.Rect, scale widget.Scale) {
	word, ink, stripe, mark := st.look()
	set := st.Set
	s.Edge(r, ink, stripe)
	_, r = r.CutLeft(2)
	big, words := r.CutTop(scale.Rows(set) + 1)
	digits := widget.Small
	if s.W >= 100 && s.H >= 34 {
		digits = widget.Medium
	}
	left, right := big.CutRight(max(widget.BlockWidth(widget.Steady(st.Reading), digits), 23))
	left.W -= 2
	c := card{ink: ink, word: word, number: st.Big}
	c.drawBig(s, widget.Rect{X: left.X, Y: left.Y, W: left.W, H: scale.Rows(set)}, scale, set)
	s.PutIn(right, 0, widget.Faint, st.Unit, set)
	_, figures := right.CutTop(1)
	s.PutBlock(figures, widget.Strong, widget.BlockDigits(widget.Steady(st.Reading), digits, set))
	s.PutIn(right, 1+digits.Rows(set), widget.Plain, st.Under, set)
	drawWords(s, words, ink, mark, st.Sentence, st.Why, set)
}

// drawTrace draws the reading as it comes to rest.
func (st Calibration) drawTrace(s *widget.Sheet, r widget.Rect) {
	if st.Mood == Offered {
		return // there is nothing to see before the answer
	}
	if len(st.Trace) < 2 {
		s.PutWords(r, 0, r.H, widget.Faint, "the trend starts after Enter", st.Set)
		return
	}
	unit, _, _ := strings.Cut(st.Unit, " ")
	named, _, _ := strings.Cut(st.Expects, ",")
	st.Expects = widget.FirstFit(r.W-16, st.Set, st.Expects, named, "ideal", "")
	p := widget.Plot{Aim: st.Expect, Tolerance: st.Near, AimText: st.Expects, XLabel: "s", YLabel: unit,
		Points: st.Trace[len(st.Trace)-1:]}
	for _, t := range st.Trace {
		p.Curve = append(p.Curve, widget.CurvePoint{X: t.X, Y: t.Y, Low: t.Y, High: t.Y})
	}
	p.Draw(s, r, st.Set)
}

func (st Calibration) drawDips(s *widget.Sheet, r widget.Rect) {
	s.PutIn(r, 0, widget.Faint, "standards", st.Set)
	for i, d := range st.Dips {
		mark, ink := " ", widget.Plain
		switch {
		case d.Now:
			mark, ink = st.Set.Act, widget.Act
		case d.Value != "":
			mark, ink = st.Set.Dot, widget.Seen
		}
		x := s.PutIn(r, 1+i, ink, mark+" "+d.Name, st.Set) + 2
		value, _, _ := strings.Cut(d.Value, " at ") // the temperature stands above
		s.PutIn(widget.Rect{X: x, Y: r.Y, W: r.X + r.W - x, H: r.H}, 1+i, widget.Plain, widget.FirstFit(r.X+r.W-x, st.Set, d.Value, value), st.Set)
	}
}

// drawSmall is the screen for which there is hardly room.
func (st Calibration) drawSmall(s *widget.Sheet) {
	_, ink, _, mark := st.look()
	r := widget.Rect{W: s.W, H: s.H}
	row := 0
	put := func(ink widget.Ink, text string, n int) { row = s.PutWords(r, row, n, ink, text, st.Set) }
	put(ink, mark+" "+st.Sentence, 2)
	put(widget.Strong, strings.TrimSpace(st.Reading+" "+st.Unit+" "+st.Under), 2)
	if st.Message != "" {
		st.Why = st.Message
	}
	put(widget.Plain, st.Why, 3)
	if s.H-row > 1 {
		keyrow.Draw(s, widget.Rect{Y: s.H - 1, W: s.W, H: 1}, st.Keys, st.Set)
	}
}

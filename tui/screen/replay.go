package screen

import (
	"fmt"

	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/widget"
)

// Replay is a moment of a run that is looked back on.
type Replay struct {
	State           // the moment as it was on the screen then
	Seconds float64 // the whole run, s
	Playing bool
	Speed   float64 // run seconds in a second
	Marks   []ReplayMark
	Done    string // what was done at this moment, beside what was advised
	Story   string // why it went too far, and what would have been safe
	Whole   bool   // all of the story, even if the curve has to make room
}

// ReplayMark is a place on the bar of time.
type ReplayMark struct {
	T    float64 // s
	Over bool    // the run went past its aim there
}

const (
	storyRows = 5  // of the story at most, unless the person wants it whole
	leastRows = 12 // of the moment above bar, deed and story
	wholeRows = 8  // of the moment above a whole story

	curveHeight = 17 // of the moment with its curve in full
)

// Replayed draws a moment with the bar of time: h rows of at most w columns.
func Replayed(r Replay, w, h int) string {
	r.Past = true
	if len(r.Help) > 0 {
		return keyrow.Help(w, h, r.Help, r.Page, r.Set, keyrow.Words{Title: "Keys for looking back", Back: "any key goes back to the run; its journal is only read"})
	}
	if w <= 0 || h < 4 {
		return Coach(r.State, w, h)
	}
	rows := r.rows(w, h)
	top := Coach(r.State, w, h-rows)
	s := widget.NewSheet(w, rows)
	r.drawBar(s, widget.Rect{W: w, H: 1})
	words := widget.Rect{X: 1, W: w - 2, H: rows}
	row := s.PutWords(words, 1, r.deedRows(h), widget.Strong, r.Done, r.Set)
	s.PutWords(words, row, rows, widget.Warn, r.Story, r.Set)
	return top + "\n" + s.Painted()
}

// rows are how many the bar, the deed and the story take.
func (r Replay) rows(w, h int) int {
	if r.Story == "" {
		return 1 + max(1, len(widget.Wrap(r.Done, w-2, r.deedRows(h), r.Set)))
	}
	if r.Whole {
		need := len(widget.Wrap(r.Done, w-2, r.deedRows(h), r.Set)) + len(widget.Wrap(r.Story, w-2, h, r.Set))
		return min(1+need, max(2, h-wholeRows))
	}
	need := 1 + r.deedRows(h) + len(widget.Wrap(r.Story, w-2, storyRows, r.Set))
	if w >= widget.FullWidth && h >= widget.FullHeight+3 { // the curve stays
		need = min(need, h-curveHeight)
	}
	return min(need, max(2, h-leastRows))
}

// deedRows are the most that what was done may take: the story goes before the
// end of it, and on a low screen before all of it: it names the addition, too.
func (r Replay) deedRows(h int) int {
	switch {
	case r.Story == "" || r.Whole:
		return 2
	case h < widget.FullHeight+3:
		return 0
	}
	return 1
}

// drawBar is the run from end to end: how far, the additions, where it went
// too far, whether it plays and how fast.
func (r Replay) drawBar(s *widget.Sheet, at widget.Rect) {
	state := "stopped"
	if r.Playing {
		state = "playing"
	}
	words := fmt.Sprintf("replay %gx, %s, %s of %s", r.Speed, state, phrase.Watch(r.View.T), phrase.Watch(r.Seconds))
	_, right := at.CutRight(widget.Width(r.Set.Text(words)) + 2)
	s.PutIn(right, 0, widget.Plain, " "+words, r.Set)
	n := at.W - right.W - 2
	if n < 8 || r.Seconds <= 0 {
		return
	}
	place := func(t float64) int { return 1 + min(n-1, int(float64(n)*t/r.Seconds)) }
	s.Fill(widget.Rect{X: 1, Y: at.Y, W: n, H: 1}, widget.Faint, r.Set.Rail)
	s.Fill(widget.Rect{X: 1, Y: at.Y, W: place(r.View.T), H: 1}, widget.Seen, r.Set.TolFill)
	for _, m := range r.Marks {
		ink, sign := widget.Strong, r.Set.Act
		if m.Over {
			ink, sign = widget.Warn, r.Set.Warn
		}
		if widget.Width(sign) == 1 {
			s.Put(place(m.T), at.Y, ink, sign)
		}
	}
	s.Put(place(r.View.T), at.Y, widget.Seen, r.Set.Dot)
}

package screen

import (
	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/widget"
)

// promptRows are those from which on a question and its answers have room below the sentence
// and the pH.
const promptRows = 4

// drawCompact is the screen for which there is hardly room: the sentence, the
// pH, what is being typed, then as much as fits.
func drawCompact(s *widget.Sheet, st State) {
	v, set := st.View, st.Set
	c := cardOf(st)
	r := widget.Rect{W: s.W, H: s.H}
	body, foot := r.CutBottom(1)
	if s.H < 3 {
		body, foot = r, widget.Rect{}
	}
	switch text, _ := messageOf(st); {
	case foot.Empty():
	case st.Prompt != "" && s.H >= promptRows: // a question whose answers are not on the screen cannot be answered
		keyrow.Draw(s, foot, st.Keys, st.Set)
		body, foot = body.CutBottom(1)
		defer drawMessage(s, foot, st) // a long one stands over what is above it
	case text != "":
		drawMessage(s, foot, st)
	default:
		keyrow.Draw(s, foot, st.Keys, st.Set)
	}
	row := 0
	put := func(ink widget.Ink, text string, n int) { row = s.PutWords(body, row, n, ink, text, set) }
	if v.Alarm != "" && body.H > 3 {
		put(widget.Alarm, "! "+v.Alarm, 1)
	}
	lines := max(1, body.H-row-1)
	put(c.ink, c.sentence, min(lines, 3))
	if st.Display != "" {
		put(widget.Strong, "display "+st.Display+" "+typedLast(v)[0], 1)
	}
	put(widget.Strong, "pH "+PH(v)+" "+standingOf(v, set).short(max(s.W-4-widget.Width(PH(v)), 0), set), 1)
	if body.H-row >= widget.LaneRows && s.W >= 30 {
		lane(st).Draw(s, widget.Rect{Y: row, W: s.W, H: widget.LaneRows}, set)
		row += widget.LaneRows
	}
	put(widget.Plain, c.why, 3)
	for _, f := range facts(st, s.W) {
		put(f.ink, f.text, 1)
	}
	if body.H-row >= 2 {
		drawAdditions(s, widget.Rect{Y: row, W: s.W, H: body.H - row}, st)
	}
}

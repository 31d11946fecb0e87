package screen

import (
	"slices"

	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/widget"
)

// pastLeast is the least height at which a moment of a run that is looked back on keeps
// its curve.
const pastLeast = 10

// pastWords is the least height at which the reason has two rows.
const pastWords = 16

// drawPast is a moment of a run that is looked back on where a story takes much of the
// screen: what was to be done, what was read, and the curve.
func drawPast(s *widget.Sheet, st State) {
	v, set := st.View, st.Set
	header, rest := s.Page().CutTop(1)
	drawHeader(s, header, st)
	why := 1
	if s.H >= pastWords {
		why = 2
	}
	words, rest := rest.CutTop(1 + why)
	c := cardOf(st)
	reading := "pH " + PH(v) + " " + standingOf(v, set).short(20, set)
	s.PutRight(words, 0, widget.Strong, reading, set)
	left := words
	left.W -= widget.Width(set.Text(reading)) + 2
	s.PutIn(left, 0, c.ink, c.mark+" "+c.sentence, set)
	for i, row := range widget.Wrap(c.why, words.W-2, why, set) {
		s.Put(words.X+2, words.Y+1+i, widget.Plain, row)
	}
	body, foot := rest.CutBottom(1)
	drawBottom(s, body, st)
	text, _ := messageOf(st)
	if text == "" {
		keyrow.Draw(s, foot, st.Keys, st.Set)
		return
	}
	ways := st // the keys that lead on and out stay
	ways.Keys = slices.DeleteFunc(slices.Clone(st.Keys), func(k keyrow.Key) bool { return k.Name != "?" && k.Name != "q" })
	wide := 0
	for _, k := range ways.Keys {
		wide += widget.Width(set.Text(k.Name+" "+k.Short)) + 2
	}
	said, keys := foot.CutRight(wide)
	said.W--
	drawMessage(s, said, st)
	keyrow.Draw(s, keys, ways.Keys, ways.Set)
}

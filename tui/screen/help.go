package screen

import "example.org/halfdrop/tui/widget"

// Caution stands under the keys. Strong acids and bases burn (hazard
// statements of the bottle's safety data sheet); local rules go first.
const Caution = "Acids and bases burn: goggles, gloves, the safety data sheet of the bottle, the rules of your laboratory."

// drawHelp lists the keys, each with what it does.
func drawHelp(s *widget.Sheet, st State) {
	set := st.Set
	r := inset(widget.Rect{W: s.W, H: s.H}, min(2, s.W/20))
	s.PutIn(r, 0, widget.Strong, "Keys of the titration", set)
	name := 0
	for _, k := range st.Help {
		name = max(name, widget.Width(set.Text(k.Name)))
	}
	row := 2
	if s.H < len(st.Help)+6 {
		row = 1
	}
	words := widget.Rect{X: r.X + name + 2, W: r.W - name - 2, H: r.H}
	last := s.H - 2
	for _, k := range st.Help {
		if row >= last {
			break
		}
		s.PutIn(r, row, widget.Act, k.Name, set)
		s.PutIn(words, row, widget.Plain, k.Does, set)
		row++
	}
	if row+1 < last {
		for i, line := range widget.Wrap(Caution, r.W, last-row-1, set) {
			s.PutIn(r, row+1+i, widget.Warn, line, set)
		}
	}
	s.PutIn(r, s.H-1, widget.Faint, "Esc, Enter or ? goes back to the run; it has gone on meanwhile", set)
}

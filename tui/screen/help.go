package screen

import "example.org/halfdrop/tui/widget"

// Caution stands under the keys. Strong acids and bases burn (hazard
// statements of the bottle's safety data sheet); local rules go first.
const Caution = "Acids and bases burn: goggles, gloves, the safety data sheet of the bottle, the rules of your laboratory."

// helpWords stand around the keys on a page of help.
type helpWords struct {
	title, caution, back string
}

// drawHelp lists the keys, each with what it does.
func drawHelp(s *widget.Sheet, st State, p helpWords) {
	set := st.Set
	r := inset(widget.Rect{W: s.W, H: s.H}, min(2, s.W/20))
	s.PutIn(r, 0, widget.Strong, p.title, set)
	name := 0
	for _, k := range st.Help {
		name = max(name, widget.Width(set.Text(k.Name)))
	}
	words := widget.Rect{X: r.X + name + 2, W: r.W - name - 2, H: r.H}
	row, last, most := 2, s.H-2, 2 // rows for a key
	if does(st.Help, words.W, most, set) > last-row-3 {
		row, most = 1, 1
	}
	for _, k := range st.Help {
		if row >= last {
			break
		}
		s.PutIn(r, row, widget.Act, k.Name, set)
		for _, line := range widget.Wrap(k.Does, words.W, min(most, last-row), set) {
			s.PutIn(words, row, widget.Plain, line, set)
			row++
		}
	}
	if row < s.H-1 && p.caution != "" {
		words := widget.Wrap(p.caution, r.W, s.H-1-row, set)
		if row+len(words) < s.H-1 {
			row++ // air, where it takes nothing from the words
		}
		for i, line := range words {
			s.PutIn(r, row+i, widget.Warn, line, set)
		}
	}
	s.PutIn(r, s.H-1, widget.Faint, p.back, set)
}

// does is how many rows the keys take, each at most n.
func does(keys []Key, w, n int, set *widget.Set) int {
	rows := 0
	for _, k := range keys {
		rows += len(widget.Wrap(k.Does, w, n, set))
	}
	return rows
}

package keyrow

import (
	"fmt"

	"example.org/halfdrop/tui/widget"
)

// Caution stands under the keys. Strong acids and bases burn (hazard
// statements of the bottle's safety data sheet); local rules go first.
const Caution = "Acids and bases burn: goggles, gloves, the safety data sheet of the bottle, the rules of your laboratory."

// Words stand around the keys on a page of help.
type Words struct {
	Title, Caution, Back string
}

// Pages is on how many pages the keys stand at a size.
func Pages(help []Key, w, h int) int {
	_, pages := onPage(help, 0, w, h)
	return pages
}

// onPage is the keys of the page that is shown, and how many pages there are.
func onPage(help []Key, page, w, h int) (keys []Key, pages int) {
	room := max(1, h-4) // title, caution in two rows, the way back
	if len(help) <= room || w < widget.FullWidth {
		return help, 1
	}
	pages = (len(help) + room - 1) / room
	each := (len(help) + pages - 1) / pages
	from := min(page, pages-1) * each
	return help[from:min(from+each, len(help))], pages
}

// Help is a page of h rows of w columns with the keys, each with what it does.
func Help(w, h int, help []Key, page int, set *widget.Set, p Words) string {
	s := widget.NewSheet(w, h)
	keys, pages := onPage(help, page, s.W, s.H)
	if pages > 1 {
		p.Title += fmt.Sprintf(", page %d of %d", min(page, pages-1)+1, pages)
		p.Back = "? turns the page; Esc or Enter: back; the run continues"
	}
	r := widget.Rect{W: s.W, H: s.H}.Inset(min(2, s.W/20))
	s.PutIn(r, 0, widget.Strong, p.Title, set)
	name := 0
	for _, k := range help {
		name = max(name, widget.Width(set.Text(k.Name)))
	}
	words := widget.Rect{X: r.X + name + 2, W: r.W - name - 2, H: r.H}
	row, last, most := 2, s.H-2, 2 // rows for a key
	below := 0
	if p.Caution != "" {
		below = 3
	}
	if does(keys, words.W, most, set) > last-row-below {
		row = 1
	}
	if does(keys, words.W, most, set) > last-row {
		most = 1
	}
	for _, k := range keys {
		if row >= last {
			break
		}
		s.PutIn(r, row, widget.Act, k.Name, set)
		row = s.PutWords(words, row, min(most, last-row), widget.Plain, k.Does, set)
	}
	if row < s.H-1 && p.Caution != "" {
		words := widget.Wrap(p.Caution, r.W, s.H-1-row, set)
		if row+len(words) < s.H-1 {
			row++ // air, where it takes nothing from the words
		}
		for i, line := range words {
			s.PutIn(r, row+i, widget.Warn, line, set)
		}
	}
	s.PutIn(r, s.H-1, widget.Faint, p.Back, set)
	return s.Painted()
}

// does is how many rows the keys take, each at most n.
func does(keys []Key, w, n int, set *widget.Set) int {
	rows := 0
	for _, k := range keys {
		rows += len(widget.Wrap(k.Does, w, n, set))
	}
	return rows
}

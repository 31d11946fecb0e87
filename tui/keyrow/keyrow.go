package keyrow

import (
	"slices"

	"example.org/halfdrop/tui/widget"
)

// Key is a key with what it does, in a few words and in a sentence.
type Key struct {
	Name  string // as printed on the key
	Short string // for the row of hints; empty when it is not shown there
	Does  string // for the help
}

// Draw puts the keys worth naming now, as many as there is room for.
func Draw(s *widget.Sheet, r widget.Rect, keys []Key, set *widget.Set) {
	wide := func(k Key) int { return widget.Width(set.Text(k.Name+" "+k.Short)) + 2 }
	kept := 0 // columns of what is always there: all keys, and the way out
	always := func(k Key) bool {
		return k.Short != "" && (k.Name == "?" || k.Name == "q" || k.Name == "Esc" && !slices.ContainsFunc(keys, func(o Key) bool { return o.Name == "q" }))
	}
	for _, k := range keys {
		if always(k) {
			kept += wide(k)
		}
	}
	x := r.X
	for _, k := range keys {
		if k.Short == "" {
			continue
		}
		if always(k) {
			kept -= wide(k)
		}
		if x+wide(k)+kept-2 > r.X+r.W {
			continue
		}
		x = s.Put(x, r.Y, widget.Strong, set.Text(k.Name))
		x = s.Put(x+1, r.Y, widget.Faint, set.Text(k.Short)) + 2
	}
}

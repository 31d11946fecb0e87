package screen

import (
	"slices"

	"example.org/halfdrop/tui/widget"
)

// drawKeys puts the keys worth naming now, as many as there is room for.
func drawKeys(s *widget.Sheet, r widget.Rect, st State) {
	wide := func(k Key) int { return widget.Width(st.Set.Text(k.Name+" "+k.Short)) + 2 }
	kept := 0 // columns of what is always there: all keys, and the way out
	always := func(k Key) bool {
		return k.Short != "" && (k.Name == "?" || k.Name == "q" || k.Name == "Esc" && !slices.ContainsFunc(st.Keys, func(o Key) bool { return o.Name == "q" }))
	}
	for _, k := range st.Keys {
		if always(k) {
			kept += wide(k)
		}
	}
	x := r.X
	for _, k := range st.Keys {
		if k.Short == "" {
			continue
		}
		if always(k) {
			kept -= wide(k)
		}
		if x+wide(k)+kept-2 > r.X+r.W {
			continue
		}
		x = s.Put(x, r.Y, widget.Strong, st.Set.Text(k.Name))
		x = s.Put(x+1, r.Y, widget.Faint, st.Set.Text(k.Short)) + 2
	}
}

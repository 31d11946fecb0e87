package keyrow

import (
	"slices"
	"strings"

	"example.org/halfdrop/tui/widget"
)

// Key is a key with what it does, in a few words and in a sentence.
type Key struct {
	Name  string // as printed on the key
	Short string // for the row of hints; empty when it is not shown there
	Brief string // for a row in which those that matter most have no room else; may be empty
	Does  string // for the help
}

// Draw puts the keys worth naming now, as many as there is room for: what stands before the
// key that lists all of them in fewer words, before one of it is left out.
func Draw(s *widget.Sheet, r widget.Rect, keys []Key, set *widget.Set) {
	wide := func(k Key) int { return widget.Width(set.Text(k.Name+" "+k.Short)) + 2 }
	weighty := slices.IndexFunc(keys, func(k Key) bool { return k.Name == More.Name })
	if weighty < 0 {
		weighty = len(keys)
	}
	whole := -2
	for i, k := range keys {
		if k.Short != "" && (i < weighty || k.Name == More.Name || k.Name == "q") {
			whole += wide(k)
		}
	}
	if whole > r.W {
		keys = slices.Clone(keys)
		for i := range weighty {
			if b := keys[i].Brief; b != "" {
				keys[i].Short = b
			}
		}
	}
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

// Menu are those of a menu; enter is what Enter does.
func Menu(enter string) []Key {
	return []Key{
		{Name: "↑ ↓", Short: "choose", Does: "one row up or down, PgUp and PgDn ten; Home, End; a number goes to its row"},
		{Name: "Enter", Short: enter},
		More,
		{Name: "q", Short: "leave", Does: "leave; Esc does the same"},
	}
}

// More is the key that lists all keys.
var More = Key{Name: "?", Short: "keys", Does: "all keys"}

// Page lists the keys of a screen with what each does; one without words of its
// own says what the row of keys says. Any key goes back from it.
func Page(title string, keys []Key, set *widget.Set, w, h int) string {
	list := make([]Key, len(keys))
	for i, k := range keys {
		if list[i] = k; k.Does == "" {
			list[i].Does = k.Short
		}
	}
	return Help(w, h, list, 0, set, Words{Title: "Keys: " + title, Caution: Caution, Back: "any key goes back"})
}

// fewer are wordings of facts with commas between them, from all of them to the first.
func fewer(facts string) (out []string) {
	parts := strings.Split(facts, ", ")
	for n := len(parts); n > 0; n-- {
		out = append(out, strings.Join(parts[:n], ", "))
	}
	return out
}

// Title puts a title and what is to be said beside it.
func Title(s *widget.Sheet, r widget.Rect, title, facts string, set *widget.Set) {
	facts = widget.FirstFit(max(r.W-widget.Width(set.Text(title))-2, r.W/2), set, fewer(facts)...)
	s.PutRight(r, 0, widget.Plain, facts, set)
	s.PutIn(widget.Rect{X: r.X, Y: r.Y, W: r.W - widget.Width(facts) - 2, H: 1}, 0, widget.Strong, title, set)
}

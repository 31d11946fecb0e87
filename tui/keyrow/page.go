package keyrow

import (
	"example.org/halfdrop/tui/widget"
)

// Page lists the keys of a screen with what each does; one without words of its
// own says what the row of keys says. Any key goes back from it.
func Page(title string, keys []Key, set *widget.Set, w, h int) string {
	if w <= 0 || h <= 0 {
		return ""
	}
	list := make([]Key, len(keys))
	for i, k := range keys {
		if list[i] = k; k.Does == "" {
			list[i].Does = k.Short
		}
	}
	s := widget.NewSheet(w, h)
	Help(s, list, 0, set, Words{Title: "Keys: " + title, Caution: Caution, Back: "any key goes back"})
	return s.Painted()
}

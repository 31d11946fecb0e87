package planform

import (
	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/widget"
)

// keys is the row of keys of the page.
func (m *Form) keys() string {
	keys := m.allKeys()
	if m.leaving {
		keys = []keyrow.Key{{Name: "y", Short: "leave"}, {Name: "n", Short: "stay"}}
	}
	s := widget.NewSheet(m.w, 1)
	keyrow.Draw(s, widget.Rect{W: m.w, H: 1}, keys, m.set)
	return s.PaintedLines()[0]
}

// title is that of the page of keys.
func (m *Form) title() string {
	switch m.page {
	case buffersPage:
		return "Buffers, best first"
	case sheetPage:
		return "Recipe and bench sheet"
	}
	return "Plan a buffer"
}

// allKeys are the keys of the page, those first that are to be in its row of keys.
func (m *Form) allKeys() []keyrow.Key {
	switch m.page {
	case buffersPage:
		return []keyrow.Key{{Name: "↑ ↓", Short: "look", Does: "one buffer up or down"}, {Name: "Enter", Short: "take this one"}, keyrow.More, {Name: "Esc", Short: "back"}}
	case sheetPage:
		return []keyrow.Key{{Name: "↑ ↓ PgUp PgDn", Short: "read", Does: "a line or a page up or down; Home and End to the beginning and the end"},
			{Name: "w", Short: "write the plan", Does: "write the plan file; an existing one is not overwritten"}, keyrow.More, {Name: "Esc", Short: "back"}}
	}
	return []keyrow.Key{{Name: "↑ ↓", Short: "line", Does: "one line up or down; Tab and Enter go down as well"},
		{Name: "F2", Short: "buffers", Does: "the list of buffers with their reasons; Ctrl-B does the same"},
		{Name: "F3", Short: "bench sheet", Does: "recipe and bench sheet, to be written as a plan file; Ctrl-S does the same"},
		keyrow.More, {Name: "Esc", Short: "leave", Does: "leave; asks first when something would be lost"},
		{Name: "← →", Short: "choose", Does: "the choice before or after, where there are choices in ‹ ›"},
		{Name: "Ctrl-U", Does: "clear the line"}}
}

package pick

import (
	tea "github.com/charmbracelet/bubbletea"

	"example.org/halfdrop/tui/screen/menu"
)

// found is what was looked up for a row of a menu.
type found struct {
	at   int
	side *menu.Side
}

// looksUp is the command that looks up what a screen lacks.
func (m *still) looksUp() tea.Cmd {
	if m.ask == nil {
		return nil
	}
	return m.ask(m.w, m.h)
}

// lookup finds the side of a menu, one row at a time, and keeps what it has found.
type lookup struct {
	menu *menu.Menu
	more func(at int) *menu.Side
	kept map[int]*menu.Side
	busy bool
}

func newLookup(m *menu.Menu, more func(at int) *menu.Side) *lookup {
	m.Sided = more != nil
	return &lookup{menu: m, more: more, kept: map[int]*menu.Side{}}
}

func (l *lookup) ask(w, h int) tea.Cmd {
	if l.more == nil || !l.menu.RoomForSide(w, h) {
		return nil
	}
	at := l.menu.At
	side, known := l.kept[at]
	if l.menu.Side = side; known || l.busy {
		return nil
	}
	l.busy = true
	return func() tea.Msg { return found{at, l.more(at)} }
}

func (l *lookup) take(msg tea.Msg) {
	if f, ok := msg.(found); ok {
		l.busy, l.kept[f.at] = false, f.side
	}
}

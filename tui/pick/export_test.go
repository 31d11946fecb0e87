package pick

import (
	tea "github.com/charmbracelet/bubbletea"

	"example.org/halfdrop/tui/screen/menu"
	"example.org/halfdrop/tui/terminal"
)

// NewMenu is the program model of a menu.
func NewMenu(m *menu.Menu) tea.Model {
	s := newMenu(m, nil)
	s.set = terminal.Options{}.Set(func(string) string { return "" })
	return s
}

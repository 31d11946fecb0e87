package terminal

import (
	tea "github.com/charmbracelet/bubbletea"
)

// Keys parts runes that were typed so fast that they came together.
func Keys(msg tea.KeyMsg) []string {
	if msg.Type != tea.KeyRunes {
		return []string{msg.String()}
	}
	var out []string
	for _, r := range msg.Runes {
		out = append(out, string(r))
	}
	return out
}

// Idle is what is said of a key that does nothing where it was pressed.
func Idle(key string) string {
	if key == " " {
		key = "Space"
	}
	return Clean(key) + " does nothing here; ? shows all keys"
}

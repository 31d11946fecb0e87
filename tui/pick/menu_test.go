package pick_test

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/pick"
	"example.org/halfdrop/tui/screen/menu"
	_ "example.org/halfdrop/tui/screen/screentest" // no colours
)

// ? lists the keys of a menu with what they do, at the smallest size too; a key that
// was pressed there does nothing else.
func TestMenuHasKeysOnQuestion(t *testing.T) {
	menu := &menu.Menu{Title: "Titrate", Rows: []menu.Row{{Left: "1", Text: "one"}, {Left: "2", Text: "two"}}, Keys: keyrow.Menu("go on")}
	for _, size := range []tea.WindowSizeMsg{{Width: 60, Height: 20}, {Width: 80, Height: 24}, {Width: 200, Height: 60}} {
		menu.At = 0
		m := pick.NewMenu(menu)
		m.Update(size)
		require.Contains(t, m.View(), "? keys")
		press := func(key string) tea.Cmd {
			msg := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(key)}
			switch key {
			case "enter":
				msg = tea.KeyMsg{Type: tea.KeyEnter}
			case "esc":
				msg = tea.KeyMsg{Type: tea.KeyEsc}
			}
			_, cmd := m.Update(msg)
			return cmd
		}
		require.Nil(t, press("?"))
		assert.Contains(t, m.View(), "Keys: Titrate")
		assert.Contains(t, m.View(), "one row up or down")
		assert.Contains(t, m.View(), "any key goes back")
		for _, key := range []string{"enter", "esc", "2"} {
			assert.Nil(t, press(key), "it only goes back")
			assert.Equal(t, 0, menu.At)
			assert.Contains(t, m.View(), "one")
			require.Nil(t, press("?"))
		}
		press("?")
		assert.NotNil(t, press("enter"))
	}
}

// A key that does nothing in a menu says so, and the next key takes that away.
func TestMenuSaysThatAKeyDoesNothing(t *testing.T) {
	rows := &menu.Menu{Title: "Titrate", Rows: []menu.Row{{Left: "1", Text: "one"}, {Left: "2", Text: "two"}}, Keys: keyrow.Menu("go on")}
	m := pick.NewMenu(rows)
	m.Update(tea.WindowSizeMsg{Width: 60, Height: 20})
	before := strings.Count(m.View(), "\n")
	for key, idle := range map[string]bool{"x": true, "9": true, "Q": true, "2": false, "j": false, "k": false} {
		m.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(key)})
		assert.Equal(t, idle, strings.Contains(m.View(), key+" does nothing here; "), "%s\n%s", key, m.View())
		assert.Equal(t, before, strings.Count(m.View(), "\n"))
	}
	m.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("x")})
	m.Update(tea.KeyMsg{Type: tea.KeyDown})
	assert.Contains(t, m.View(), "? keys")
	assert.NotContains(t, m.View(), "does nothing")
}

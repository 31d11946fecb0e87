package tui_test

import (
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/tui"
	"example.org/halfdrop/tui/terminal"
)

// Why a correction was made is answered with one key; who ends the answer with Enter, as
// people do, recorded the order that had just come below it: 40 drops that never fell.
func TestEnterAfterAnAnswerRecordsNothing(t *testing.T) {
	for _, c := range []struct {
		name  string
		keys  []string
		later float64 // s until Enter
		adds  int     // records after one Enter
	}{
		{"a reason, and Enter at once", []string{"7", "e", "1"}, 0.2, 0},
		{"Enter a second later", []string{"7", "e", "3"}, 1.2, 0},
		{"an addition withdrawn", []string{"u", "2"}, 0.4, 0},
		{"left as it is", []string{"7", "e", "esc"}, 0.4, 0},
		{"the run continues", []string{"q", "n"}, 0.4, 0},
		{"the reason was Enter itself, which is a press of its own", []string{"7", "e", "enter"}, 0.4, 1},
		{"an order that was read", []string{"7", "e", "1"}, 1.6, 1},
	} {
		f := newFake()
		var m tea.Model = tui.New(f, terminal.Options{})
		m, _ = m.Update(tea.WindowSizeMsg{Width: 80, Height: 24})
		v := advising(40)
		m, _ = m.Update(tui.Seen(v))
		press := func(k string) {
			msg := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(k)}
			if t, ok := map[string]tea.KeyType{"enter": tea.KeyEnter, "esc": tea.KeyEsc}[k]; ok {
				msg = tea.KeyMsg{Type: t}
			}
			m, _ = m.Update(msg)
		}
		adds := func() (n int) {
			for _, in := range f.wants() {
				if in.Kind == intent.Add {
					n++
				}
			}
			return n
		}
		for _, k := range c.keys {
			press(k)
		}
		v.T += c.later
		m, _ = m.Update(tui.Seen(v))
		press("enter")
		require.Equal(t, c.adds, adds(), c.name)
		if c.adds == 0 {
			assert.Contains(t, m.View(), "Enter again records", c.name)
			press("enter")
			require.Equal(t, 1, adds(), "%s: the second Enter means it", c.name)
		}
	}
}

// On the smallest screens, too, a question stands beside the keys that answer it: at 59 columns
// it stood alone, and 1, 2, 3 and o were to be guessed.
func TestAQuestionHasItsKeysOnASmallScreen(t *testing.T) {
	for _, size := range [][2]int{{59, 18}, {50, 16}, {40, 12}, {40, 4}, {30, 6}} {
		f := newFake()
		var m tea.Model = tui.New(f, terminal.Options{})
		m, _ = m.Update(tea.WindowSizeMsg{Width: size[0], Height: size[1]})
		m, _ = m.Update(tui.Seen(advising(6)))
		m, _ = m.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("u")})
		assert.Contains(t, m.View(), "why withdraw", "%v", size)
		assert.Contains(t, m.View(), "20 drops", "%v", size)
		assert.Contains(t, m.View(), "1 mis-keyed", "%v", size)
		assert.Contains(t, m.View(), "ADD 6", "%v: the sentence stays", size)
		m, _ = m.Update(tea.KeyMsg{Type: tea.KeyEsc})
		m, _ = m.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("q")})
		assert.Contains(t, m.View(), "y end the run", "%v", size)
	}
}

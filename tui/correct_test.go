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

// corrected is what is wanted of the run after some keys in a waiting run.
func corrected(t *testing.T, keys ...string) []intent.Intent {
	t.Helper()
	f := newFake()
	var m tea.Model = tui.New(f, terminal.Options{})
	m, _ = m.Update(tea.WindowSizeMsg{Width: 80, Height: 24})
	f.views <- waiting()
	m, _ = m.Update(m.Init()())
	for _, k := range keys {
		msg := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(k)}
		if t, ok := map[string]tea.KeyType{"enter": tea.KeyEnter, "esc": tea.KeyEsc}[k]; ok {
			msg = tea.KeyMsg{Type: t}
		}
		m, _ = m.Update(msg)
	}
	return f.wants()
}

// A correction is asked for its reason, and none is made up.
func TestCorrectTheLatestAddition(t *testing.T) {
	assert.Empty(t, corrected(t, "7", "e"), "nothing before the reason")
	got := corrected(t, "7", "e", "1")
	require.Len(t, got, 1)
	assert.Equal(t, intent.Intent{Kind: intent.Correct, Drops: 7, Text: "miscounted"}, got[0])
	got = corrected(t, "0", ".", "6", "m", "e", "2")
	require.Len(t, got, 1)
	assert.Equal(t, 0.6, got[0].ML)
	assert.Equal(t, "mis-keyed", got[0].Text)
	got = corrected(t, "t", "e", "enter")
	require.Len(t, got, 1)
	assert.NotEmpty(t, got[0].Titrant)
	assert.Zero(t, got[0].Drops, "the count stays")
	assert.Equal(t, "not said", got[0].Text)
	got = corrected(t, "8", "e", "o", "a", " ", "g", "u", "s", "t", "enter")
	require.Len(t, got, 1)
	assert.Equal(t, "a gust", got[0].Text)
	got = corrected(t, "8", "e", "o", "enter")
	require.Len(t, got, 1)
	assert.Equal(t, "not said", got[0].Text)
	assert.Empty(t, corrected(t, "7", "e", "esc"), "left as it is")
	assert.Empty(t, corrected(t, "7", "e", "o", "x", "esc"), "left as it is")
	assert.Empty(t, corrected(t, "e"), "nothing is corrected to nothing")
	assert.Empty(t, corrected(t, "0", "e"))
}

// An undo is asked for its reason as well.
func TestUndoIsAskedWhy(t *testing.T) {
	assert.Empty(t, corrected(t, "u"))
	got := corrected(t, "u", "2")
	require.Len(t, got, 1)
	assert.Equal(t, intent.Intent{Kind: intent.Undo, Text: "it missed the beaker"}, got[0])
	got = corrected(t, "u", "enter")
	require.Len(t, got, 1)
	assert.Equal(t, "not said", got[0].Text)
}

// What was weighed goes on record as it is typed.
func TestNoteIsSent(t *testing.T) {
	got := corrected(t, "w", "T", "r", "i", "s", " ", "3", "g", "enter")
	require.Len(t, got, 1)
	assert.Equal(t, intent.Intent{Kind: intent.Note, Text: "Tris 3g"}, got[0])
	assert.Empty(t, corrected(t, "w", "enter"))
	assert.Empty(t, corrected(t, "w", "x", "esc"))
}

package tui_test

import (
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/tui"
)

// corrected is what is wanted of the run after some keys in a waiting run.
func corrected(t *testing.T, keys ...string) []run.Intent {
	t.Helper()
	f := newFake()
	var m tea.Model = tui.New(f, tui.Options{})
	m, _ = m.Update(tea.WindowSizeMsg{Width: 80, Height: 24})
	f.views <- waiting()
	m, _ = m.Update(m.Init()())
	for _, k := range keys {
		m, _ = m.Update(keyed(k))
	}
	return f.wants()
}

func TestCorrectTheLatestAddition(t *testing.T) {
	got := corrected(t, "7", "e")
	require.Len(t, got, 1)
	assert.Equal(t, run.Intent{Kind: run.WantCorrect, Drops: 7, Text: "miscounted"}, got[0])
	got = corrected(t, "0", ".", "6", "m", "e")
	require.Len(t, got, 1)
	assert.Equal(t, 0.6, got[0].ML)
	got = corrected(t, "t", "e")
	require.Len(t, got, 1)
	assert.NotEmpty(t, got[0].Titrant)
	assert.Zero(t, got[0].Drops, "the count stays")
	assert.Equal(t, "the other titrant", got[0].Text)
	assert.Empty(t, corrected(t, "e"), "nothing is corrected to nothing")
	assert.Empty(t, corrected(t, "0", "e"))
}

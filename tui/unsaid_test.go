package tui_test

import (
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui"
	"example.org/halfdrop/tui/terminal"
)

// A run that is ended while it is open whether an order was given would never hold it: the
// question at the end says so.
func TestTheEndAsksAboutAnOrderThatFell(t *testing.T) {
	ends := func(v view.View) string {
		var m tea.Model = tui.New(newFake(), terminal.Options{})
		m, _ = m.Update(tea.WindowSizeMsg{Width: 80, Height: 24})
		m, _ = m.Update(tui.Seen(v))
		m, _ = m.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("q")})
		return m.View()
	}
	const open = "Not on record, given or not: 29 drops of NaOH 1 M. End the run? y or n"
	assert.Contains(t, ends(falling(29, true)), open, "asked about already")
	assert.Contains(t, ends(falling(29, false)), open, "falling")
	assert.NotContains(t, ends(advising(29)), open, "nothing fell")
	silent := falling(29, true)
	silent.Silent = "the coach is silent"
	assert.NotContains(t, ends(silent), open, "what would have been ordered is not given away")
}

// q at a question was refused, and the y that was meant for the end of the run recorded an
// addition that nobody had given.
func TestTheEndIsNoAnswerToAQuestion(t *testing.T) {
	b := start(t, advising(29))
	b.show(waiting())
	b.keys("Enter")
	require.Contains(t, b.screen(), "was it given already: 29 drops of NaOH 1 M?")
	b.keys("q")
	assert.Contains(t, b.screen(), "Not on record, given or not: 29 drops of NaOH 1 M. End the run? y or n")
	b.keys("n")
	assert.Contains(t, b.screen(), "the run continues")
	b.keys("q")
	assert.NotContains(t, b.screen(), "Not on record", "what was asked about has been left")
	b.keys("y")
	for _, in := range b.wants() {
		assert.Equal(t, intent.End, in.Kind, "nothing was said to have been given")
	}

	k := start(t, falling(29, true)).keys("t Enter q")
	assert.Contains(t, k.screen(), "Not on record, given or not: 29 drops of NaOH 1 M. End the run? y or n")
	u := start(t, advising(6)).keys("u q y")
	require.Len(t, u.wants(), 1)
	assert.Equal(t, intent.End, u.wants()[0].Kind)
}

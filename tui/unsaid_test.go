package tui_test

import (
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"

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

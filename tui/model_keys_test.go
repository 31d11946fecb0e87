package tui_test

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/run/intent"
)

// TestThousandKeys: no press is lost when a thousand come at once.
func TestThousandKeys(t *testing.T) {
	b := start(t, advising(6))
	for range 1000 {
		b.keys("Space")
	}
	b.keys("Enter c")
	assert.Equal(t, append(dose(naoh, 1, 1000), add(naoh, 1000)), b.wants())

	b = start(t, waiting())
	b.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(strings.Repeat("u1", 1000))})
	assert.Len(t, b.wants(), 1000)

	b = start(t, waiting())
	b.keys("r")
	b.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(strings.Repeat("abcdefghij", 40))})
	b.keys("Enter")
	assert.Equal(t, strings.Repeat("abcdefghij", 40), b.wants()[0].Text)

	b = start(t, waiting())
	for range 250 {
		b.keys("7u2 Enter")
	}
	var want []intent.Intent
	for range 250 {
		want = append(want, add(naoh, 72))
	}
	assert.Equal(t, want, b.wants(), "joined with keys that do nothing")
}

func TestPasteIsNotTyping(t *testing.T) {
	b := start(t, advising(6))
	b.send(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("12\nqy"), Paste: true})
	b.keys("Enter")
	assert.Equal(t, []intent.Intent{add(naoh, 6)}, b.wants())
}

func TestEnds(t *testing.T) {
	b := start(t, stopping()).keys("q y")
	assert.Contains(t, b.screen(), "closing the record")
	assert.False(t, b.quit, "the run must have closed the record first")
	v := stopping()
	v.Outcome = "in tolerance at 7.32"
	b.show(v)
	assert.True(t, b.quit)

	b = start(t, waiting())
	close(b.views)
	b.send(b.m.Init()())
	assert.True(t, b.quit, "a run that is over ends the program")
}

// TestResize: any size at any moment.
func TestResize(t *testing.T) {
	b := start(t, advising(6))
	for _, s := range [][2]int{{1, 1}, {0, 0}, {200, 60}, {59, 19}, {80, 24}} {
		b.send(tea.WindowSizeMsg{Width: s[0], Height: s[1]})
		rows := strings.Split(b.screen(), "\n")
		assert.LessOrEqual(t, len(rows), max(s[1], 1))
	}
	assert.Contains(t, b.screen(), "ADD 6 drops of NaOH 1 M")
}

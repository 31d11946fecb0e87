package phrase_test

import (
	"strings"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/phrase"
)

// TestHanging: lines of a table that are wider than a terminal go on below their last
// column, and no word is broken or lost.
func TestHanging(t *testing.T) {
	text := "Step 7: how much there is\n  29  strength-of-a-bottle   full  why an addition says much or little about a strength\n" +
		"to find            strength of NaOH 0.1 M, against potassium hydrogen phthalate anhydrous\n" +
		"a plain sentence of some length that has no columns at all and goes on below its first word\n"
	for _, width := range []int{60, 80} {
		out := phrase.Hang(text, width)
		for line := range strings.Lines(out) {
			assert.LessOrEqual(t, lipgloss.Width(strings.TrimSuffix(line, "\n")), width, line)
		}
		assert.Equal(t, strings.Fields(text), strings.Fields(out))
	}
	assert.Contains(t, phrase.Hang(text, 80), "anhydrous\n")
	assert.Contains(t, phrase.Hang(text, 80), "\n"+strings.Repeat(" ", 35)+"strength\n")
	assert.Equal(t, text, phrase.Hang(text, 200))
	object := `{"name": "` + strings.Repeat("a word ", 30) + `"}` + "\n"
	assert.Equal(t, object, phrase.Hang(object, 80), "JSON is not broken")
}

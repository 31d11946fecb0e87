package manners

import (
	"fmt"
	"strings"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/stretchr/testify/assert"
)

// TestFolding: on a terminal no word of a message is broken and none is lost; a
// question that is not ended waits for nothing.
func TestFolding(t *testing.T) {
	var b strings.Builder
	f := &folding{&b, 40}
	message := "halfdrop: hint: give one with --plan FILE; only the simulator has a built-in one, see halfdrop titrate --help\n"
	fmt.Fprint(f, message)
	for line := range strings.Lines(b.String()) {
		assert.LessOrEqual(t, len(line), 41, line)
	}
	assert.Equal(t, strings.Fields(message), strings.Fields(b.String()))
	assert.True(t, strings.HasPrefix(strings.Split(b.String(), "\n")[1], "  "))
	b.Reset()
	fmt.Fprint(f, "short\n  set in and as long as it is, so that a table stays a table\nand now? ")
	assert.Equal(t, "short\n  set in and as long as it is, so that a table stays a table\nand now? ", b.String())
}

// TestHanging: lines of a table that are wider than a terminal go on below their last
// column, and no word is broken or lost.
func TestHanging(t *testing.T) {
	text := "Step 7: how much there is\n  29  strength-of-a-bottle   full  why an addition says much or little about a strength\n" +
		"to find            strength of NaOH 0.1 M, against potassium hydrogen phthalate anhydrous\n" +
		"a plain sentence of some length that has no columns at all and goes on below its first word\n"
	for _, width := range []int{60, 80} {
		out := hanging(text, width)
		for line := range strings.Lines(out) {
			assert.LessOrEqual(t, lipgloss.Width(strings.TrimSuffix(line, "\n")), width, line)
		}
		assert.Equal(t, strings.Fields(text), strings.Fields(out))
	}
	assert.Contains(t, hanging(text, 80), "anhydrous\n")
	assert.Contains(t, hanging(text, 80), "\n"+strings.Repeat(" ", 35)+"strength\n")
	assert.Equal(t, text, hanging(text, 200))
	object := `{"name": "` + strings.Repeat("a word ", 30) + `"}` + "\n"
	assert.Equal(t, object, hanging(object, 80), "JSON is not broken")
}

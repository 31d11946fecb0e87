package led

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/tui/keyrow"
	"example.org/halfdrop/tui/widget"
)

// What keeps the meter stands in the row of keys at 60 columns, where there is no room for all.
func TestLearnKeysAtSixty(t *testing.T) {
	s := widget.NewSheet(60, 1)
	keyrow.Draw(s, widget.Rect{W: 60, H: 1}, LearnKeys, &widget.Unicode)
	for _, want := range []string{"← → column", "p pH", "Enter keep", "q leave", "? keys"} {
		assert.Contains(t, s.Painted(), want)
	}
}

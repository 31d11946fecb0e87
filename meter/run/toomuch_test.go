package run

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/phrase"
)

// TestTooMuchSaysSo: an amount that no vessel holds is told as that, not as one below zero,
// and without the room of the program that refused it.
func TestTooMuchSaysSo(t *testing.T) {
	assert.Equal(t, "more than a hundred times what the vessel holds", phrase.Plain(fmt.Errorf("run: %w", ErrTooMuch)).Error())
	s := State{Setup: &recipe.Setup{Final: 250 * chem.Millilitre, Stocks: []recipe.Stock{{Name: "NaOH", Drop: 50 * chem.Microlitre}}}}
	_, err := s.entry(journal.Addition{Titrant: "NaOH", ML: 999999})
	assert.ErrorIs(t, err, ErrTooMuch)
	_, err = s.entry(journal.Addition{Titrant: "NaOH", Drops: 999999})
	assert.ErrorIs(t, err, ErrTooMuch)
	_, err = s.entry(journal.Addition{Titrant: "NaOH", ML: -1})
	assert.ErrorIs(t, err, ErrAmount)
}

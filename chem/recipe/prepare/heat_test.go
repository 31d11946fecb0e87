package prepare

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What is said of a rise: nothing of one that a hand does not feel, portions from 10 K on, that it
// is hotter than 60 °C from a room of 22 °C on, and that it boils from one of 25 °C on.
func TestWordsOfHeat(t *testing.T) {
	for kelvin, says := range map[float64]string{
		2.5: "", 3.5: "It warms by about", 9: "It warms by about", 11: "add it in portions", 36: "add it in portions",
		40: "hotter than 60 °C", 72: "hotter than 60 °C", 78: "boil and spit", -2.5: "", -3.5: "It cools by about",
	} {
		if words := heatWords(kelvin); says == "" {
			assert.Empty(t, words, "%g K", kelvin)
		} else {
			assert.Contains(t, words, says, "%g K", kelvin)
		}
	}
}

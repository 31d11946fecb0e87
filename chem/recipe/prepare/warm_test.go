package prepare

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// From where warmth is said: from 3 K, less than which no pH of a buffer notices; 60 °C of a
// beaker of 22 °C are 38 K, and boiling some 75.
func TestFromWhereWarmthIsSaid(t *testing.T) {
	for kelvin, says := range map[float64]string{2.9: "", 3.1: "warms by about 3 K", 9: "warms by about", 12: "in portions", 37: "in portions", 39: "hotter than 60 °C", 74: "hotter than 60 °C", 76: "boil and spit", -2.9: "", -3.1: "cools by about 3 K"} {
		if says == "" {
			assert.Empty(t, heatWords(kelvin), "%g K", kelvin)
			continue
		}
		assert.Contains(t, heatWords(kelvin), says, "%g K", kelvin)
	}
}

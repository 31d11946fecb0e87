package warmth

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem"
)

// A temperature is a setting from six readings on that are alike, 1.5 °C and more from the plan.
func TestWhatASettingIs(t *testing.T) {
	sent := func(n int, every float64) (w setting) {
		for i := range n {
			w = w.takes(25, every*float64(i))
		}
		return w
	}
	for off, is := range map[float64]bool{0.8: false, 1.4: false, 1.6: true, 2.9: true} {
		assert.Equal(t, is, sent(30, 1).is(29, chem.Celsius(25-off)), "%g off", off)
	}
	for n, is := range map[int]bool{4: false, 5: false, 6: true, 11: true} {
		assert.Equal(t, is, sent(n, 10).is(10*float64(n), 19), "%d readings", n)
	}
}

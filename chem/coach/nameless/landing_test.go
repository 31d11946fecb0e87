package nameless_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach/nameless"
)

// What leads to a pH lands there, by the account without a name: also where the capacity at
// hand has shown to be many times that of a plan which has next to none beyond its buffer, so
// that less seems to lead to 9 than to 4.5. "ADD 23 drops, expected to land at 8.86, 4.67 past the
// aim" was said of drops that were to lead towards the aim.
func TestWhatLeadsThereLandsThere(t *testing.T) {
	for _, times := range []float64{1, 10, 100} {
		for _, to := range []float64{3.6, 4.0, 4.5} {
			assert.InDelta(t, to, nameless.LandingOf(times, to), 0.01, "%g times the planned capacity", times)
		}
	}
}

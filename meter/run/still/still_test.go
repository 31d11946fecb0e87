package still_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/run/still"
)

// A reading in the middle of a move that repeats one number from three readings on has
// halted; one at rest has not, nor one whose last digit is as coarse as its pace.
func TestHalted(t *testing.T) {
	for name, tt := range map[string]struct {
		step       float64 // pH in a second, for ten of them
		repeats    int
		resolution float64
		halted     bool
	}{
		"in the middle of a move":    {0.1, 3, 0.01, true},
		"two alike are chance":       {0.1, 2, 0.01, false},
		"at rest":                    {0.001, 20, 0.01, false},
		"no faster than its digits":  {0.1, 3, 0.03, false},
		"as fast as it must be told": {0.1, 3, 0.02, true},
	} {
		t.Run(name, func(t *testing.T) {
			var w still.Repeats
			y := 5.0
			for i := range 11 {
				y = 5 + tt.step*float64(i)
				w.Push(float64(i)+1, y)
			}
			for i := range tt.repeats {
				w.Push(float64(12+i), y)
			}
			assert.Equal(t, tt.halted, w.Halted(tt.resolution))
			assert.Equal(t, float64(tt.repeats), w.Standing())
			assert.Equal(t, 11.0, w.Since())
			assert.True(t, w.Repeated(y))
		})
	}
}

// At rest is less than a hundredth from the first half of twelve seconds to the second.
func TestFlat(t *testing.T) {
	for name, tt := range map[string]struct {
		every, slope float64 // s, and pH in a second
		n            int
		flat         bool
	}{
		"at rest":         {1, 0, 20, true},
		"too short":       {1, 0, 8, false},
		"creeps":          {1, 0.0015, 20, true},
		"moves":           {1, 0.002, 20, false},
		"a slow meter":    {20, 0, 4, true},
		"too slow a one":  {40, 0, 4, false},
		"two are nothing": {6, 0, 2, false},
	} {
		t.Run(name, func(t *testing.T) {
			var r still.Recent
			for i := range tt.n {
				x := tt.every * float64(i)
				r = r.Push(x, 7+tt.slope*x)
			}
			assert.Equal(t, tt.flat, r.Flat())
		})
	}
}

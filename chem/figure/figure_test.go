package figure_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/figure"
)

func TestScale(t *testing.T) {
	for rough, want := range map[float64]float64{0.3: 0.5, 1: 1, 1.01: 2, 6: 10, 0.0021: 0.005, 250: 500} {
		assert.InDelta(t, want, figure.Round(rough), 1e-12, rough)
	}
	s := figure.Scale{Lo: -1, Hi: 1, From: 100, To: 0, Step: 0.5}
	assert.Equal(t, []float64{-1, -0.5, 0, 0.5, 1}, s.Ticks())
	assert.Equal(t, 75.0, s.At(-0.5), "a picture counts from its top")
}

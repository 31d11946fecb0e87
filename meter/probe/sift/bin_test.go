package sift_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/probe/sift"
)

// Readings of a fast meter become one, their median at their mean time, by hand: of an odd
// number the middle one, which a wild one does not move; of an even number the mean of two.
// More than a bin has room for count as well.
func TestBin(t *testing.T) {
	var many []float64
	for i := range 25 {
		many = append(many, 7+0.01*float64(i))
	}
	for name, c := range map[string]struct {
		ys     []float64
		at, ph float64
	}{
		"one":              {[]float64{7.2}, 100, 7.2},
		"odd, a wild one":  {[]float64{7.1, 14, 7.2}, 100.1, 7.2},
		"even":             {[]float64{7.4, 7.1, 7.2, 7.0}, 100.15, 7.15},
		"more than it has": {many, 101.2, 7.12},
	} {
		var b sift.Bin
		assert.True(t, b.Empty(), name)
		for i, y := range c.ys {
			b.Push(sift.Sample{T: 100 + 0.1*float64(i), PH: y, Temp: 21})
		}
		o := b.Middle()
		assert.False(t, b.Empty(), name)
		assert.InDelta(t, 100, b.Since(), 1e-9, name)
		assert.InDelta(t, c.at, o.T, 1e-9, name)
		assert.InDelta(t, c.ph, o.PH, 1e-9, name)
		assert.True(t, math.IsNaN(o.Temp), "%s: a temperature of many is none", name)
	}
}

// A copy that was made before a reading stays as it was, also where the bin has grown.
func TestABinThatWasCopied(t *testing.T) {
	for _, n := range []int{3, 12, 14, 20} {
		var b sift.Bin
		for i := range n {
			b.Push(sift.Sample{T: float64(i), PH: 7})
		}
		one, two := b, b
		one.Push(sift.Sample{T: float64(n), PH: 1})
		two.Push(sift.Sample{T: float64(n), PH: 1})
		two.Push(sift.Sample{T: float64(n), PH: 1})
		for range n {
			one.Push(sift.Sample{T: 50, PH: 14})
		}
		assert.InDelta(t, float64(n-1)/2, b.Middle().T, 1e-9, "%d", n)
		assert.InDelta(t, float64(n*(n-1)/2+2*n)/float64(n+2), two.Middle().T, 1e-9, "%d", n)
	}
}

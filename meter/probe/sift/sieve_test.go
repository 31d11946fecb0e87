package sift_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/probe/sift"
)

// sifted are the values that pass, readings coming at one a second.
func sifted(ys ...float64) (out []float64, s sift.Sieve) {
	for i, y := range ys {
		var pass []sift.Sample
		s, pass = s.Push(sift.Sample{T: float64(i), PH: y, Temp: math.NaN()})
		for _, o := range pass {
			out = append(out, o.PH)
		}
	}
	return out, s
}

func TestSieve(t *testing.T) {
	for name, c := range map[string]struct{ in, want []float64 }{
		"single":                     {[]float64{6, 14.5, 6.01, 6}, []float64{6, 6.01, 6}},
		"pair":                       {[]float64{6, -0.5, 1.38, 6.01}, []float64{6, 6.01}},
		"pair of one value":          {[]float64{6, 14, 14, 6.01}, []float64{6, 6.01}},
		"while the reading rises":    {[]float64{4.28, 4.98, 5.69, 8.65, 6.6, 6.89, 7, 7.1}, []float64{4.28, 4.98, 5.69, 6.6, 6.89, 7, 7.1}},
		"into another liquid":        {[]float64{7, 7, 4.2, 4.0, 3.98, 3.97}, []float64{7, 7, 4.2, 4.0, 3.98, 3.97}},
		"there by way of a wild one": {[]float64{7, 7, 12, 4.2, 4.1, 4.0}, []float64{7, 7, 4.2, 4.1, 4.0}},
		"a large dose, fast glass":   {[]float64{5, 6.5, 7.4, 7.9, 8.1, 8.2}, []float64{5, 6.5, 7.4, 7.9, 8.1, 8.2}},
		"noise is left alone":        {[]float64{5, 5.2, 5, 5.1}, []float64{5, 5.2, 5, 5.1}},
		"a small wild one":           {[]float64{6, 6.4, 6.01, 6}, []float64{6, 6.01, 6}},
		"a smaller one":              {[]float64{6, 6.31, 6.01, 6}, []float64{6, 6.01, 6}},
		"three are a movement":       {[]float64{6, 6.4, 6.4, 6.41}, []float64{6, 6.4, 6.4, 6.41}},
	} {
		got, _ := sifted(c.in...)
		assert.Equal(t, c.want, got, name)
	}
	_, s := sifted(6, 14.5, 6, 6, -0.5, 1.38, 6)
	n, at := s.Wild()
	assert.Equal(t, 3, n)
	assert.InDelta(t, 6.0, at, 1e-9)
	assert.False(t, s.Many())
	assert.False(t, s.Holds())
}

// A meter that sends twice a minute, or four times, is not kept waiting for a third
// reading; with one that sends eight times the third comes soon enough.
func TestSieveOfASlowMeter(t *testing.T) {
	for every, want := range map[float64]int{30: 2, 15: 2, 7.5: 0} {
		var s sift.Sieve
		var pass []sift.Sample
		for i, y := range []float64{7, 4.1, 4.0} {
			s, pass = s.Push(sift.Sample{T: every * float64(i), PH: y})
		}
		assert.Len(t, pass, want, "each %g s", every)
	}
}

// Wild readings without end are no single ones.
func TestManyWildReadings(t *testing.T) {
	var ys []float64
	for i := range 40 {
		if ys = append(ys, 7); i%4 == 3 {
			ys = append(ys, 12)
		}
	}
	_, s := sifted(ys...)
	assert.True(t, s.Many())
	for range 40 {
		ys = append(ys, 7)
	}
	_, s = sifted(ys...)
	assert.False(t, s.Many())
}

// Every fourth reading wild within a minute is a fault, every tenth is somebody who touches
// the cable; and 42 good ones after two of three that were wild are good ones.
func TestSomeWildReadings(t *testing.T) {
	every := func(n, of int) (ys []float64) {
		for i := range n {
			if ys = append(ys, 7); i%of == of-1 {
				ys[i] = 12
			}
		}
		return append(ys, 7)
	}
	_, s := sifted(every(48, 4)...)
	assert.True(t, s.Many())
	_, s = sifted(every(60, 10)...)
	assert.False(t, s.Many())
	var ys []float64
	for range 10 {
		ys = append(ys, 7, 12, 2)
	}
	_, s = sifted(append(ys, 7)...)
	assert.True(t, s.Many())
	for range 42 {
		ys = append(ys, 7)
	}
	_, s = sifted(ys...)
	assert.False(t, s.Many())
}

package probe

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// drifting is a tracker whose latest readings these are.
func drifting(every float64, ys []float64) Tracker {
	k := Tracker{resolution: 0.001}
	for i, y := range ys {
		k.recent = lately(k.recent, obs{every * float64(i), y})
	}
	return k
}

// Of white noise a slope lies beyond two of its standard errors in 7.1 % of all cases: Student's
// t of 11 degrees of freedom, a line through 13 readings (Abramowitz and Stegun 26.7; 0.0707 by
// scipy.stats.t.sf(2, 11)*2).
func TestDriftForSure(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	const runs = 3000
	some := 0
	for range runs {
		ys := make([]float64, 13)
		for i := range ys {
			ys[i] = 7 + 0.02*r.NormFloat64()
		}
		k := drifting(1, ys)
		if k.drift() > 0 {
			some++
		}
	}
	// three standard errors of the share are 0.014
	assert.InDelta(t, 0.0707, float64(some)/runs, 0.014)
}

// A reading that has stood for a quarter of a minute does not drift, one that has stood for
// some seconds may; a meter that sends each 10 s is listened to for longer, and two or three of
// its readings are no line.
func TestDriftIsOfTheLatestSeconds(t *testing.T) {
	ramp := func(stands int) (ys []float64) {
		for i := range 30 {
			ys = append(ys, 7+0.01*float64(i))
		}
		for range stands {
			ys = append(ys, ys[29])
		}
		return ys
	}
	k := drifting(1, ramp(15))
	assert.Zero(t, k.drift())
	k = drifting(1, ramp(5))
	assert.Greater(t, k.drift(), 0.003)
	k = drifting(1, ramp(9))
	_, se := k.slope(k.recent)
	assert.Greater(t, se, 0.0, "the step of the ramp is in it still")
	for n, shows := range map[int]bool{2: false, 3: false, 5: true} {
		k = drifting(10, []float64{7, 7.1, 7.2, 7.3, 7.4}[:n])
		assert.Equal(t, shows, k.drift() > 0.009, "%d readings", n)
		assert.GreaterOrEqual(t, k.drift(), 0.0)
	}
}

// What may still move is known the better the longer it has stood: of a display of two decimals
// a last digit that does not change leaves the standard error of a slope, 0.01/sqrt(12) over the
// root of the sum of squares of the times, (n^3-n)/12 s^2 for n readings a second apart (a uniform
// rounding error and the slope of a line, NIST/SEMATECH e-Handbook 2.3.3 and 4.1.4.1).
func TestCreepOfADisplayThatStands(t *testing.T) {
	for n, over := range map[int]int{5: 5, 13: 13, 21: 21, 31: 31, 61: 61, 200: 61} {
		k := drifting(1, make([]float64, n))
		k.resolution = 0.01
		squares := float64(over*over*over-over) / 12
		assert.InEpsilon(t, 0.01/math.Sqrt(12)/math.Sqrt(squares), k.creep(), 1e-9, "%d readings", n)
	}
	few := drifting(1, make([]float64, 3))
	assert.True(t, math.IsInf(few.creep(), 1), "three readings say nothing")
}

// The way that an electrode has just gone does not count any more over the shortest time, a
// slope that goes on counts over each.
func TestCreepAfterAWay(t *testing.T) {
	var gone, climbs []float64
	for i := range 60 {
		gone = append(gone, 7+0.3*math.Exp(-float64(i)/4))
		climbs = append(climbs, 7+0.001*float64(i))
	}
	k := drifting(1, gone)
	assert.Less(t, k.creep(), 3e-5)
	k = drifting(1, climbs)
	assert.InEpsilon(t, 0.001, k.creep(), 0.06, "and a standard error")
	assert.InEpsilon(t, 0.001, k.drift(), 0.06, "less two of them")
}

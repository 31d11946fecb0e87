package probe

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// seen is what becomes of readings that come one a second.
func seen(ys ...float64) (p pickup, count []float64) {
	for i, y := range ys {
		var pass []obs
		p, pass, _ = p.push(obs{float64(i), y})
		for _, o := range pass {
			count = append(count, o.y)
		}
	}
	return p, count
}

// row is a row of readings: low for a dot, high for a bar.
func row(pattern string, low, high float64) (ys []float64) {
	for i, c := range pattern {
		y := low + 0.01*float64(i*7%3-1)
		if c == '|' {
			y += high - low
		}
		ys = append(ys, y)
	}
	return ys
}

// Two lines are seen where half of the readings stand a quarter of a pH above the others, turn
// and turn about. They are not seen where the lines are as near as two readings of a simple
// sensor, where few readings stand above, or where the beaker or the electrode changes and
// changes back.
func TestWhatAreTwoLines(t *testing.T) {
	for name, c := range map[string]struct {
		ys []float64
		on bool
	}{
		"turn and turn about":     {row("..||.|..||.|.|", 7, 7.27), true},
		"seldom turning":          {row("...||..|||..||", 7, 7.27), true},
		"near each other":         {row("..||.|..||.|.|", 7, 7.12), false},
		"three wild ones":         {row(".|....|....|..", 7, 9), false},
		"out and in again, twice": {row("..||||...||||.", 7, 9), false},
		"too few to tell":         {row(".|.|.|.|.|", 7, 7.4), false},
	} {
		p, _ := seen(c.ys...)
		assert.Equal(t, c.on, p.on, name)
	}
}

// Of two lines the lower is followed while it rises by what drops do in a second, the further
// the more readings were left out, and at once where it falls; where all readings stand
// above it for some seconds, it has risen; and a minute with one line ends it.
func TestTheLowerOfTwoLinesIsFollowed(t *testing.T) {
	on := func() pickup {
		p, _ := seen(row("..||.|..||.|.|.", 7, 7.4)...)
		require.True(t, p.on)
		p.last = 7
		return p
	}
	counts := func(p pickup, ys ...float64) (pickup, bool) {
		var pass []obs
		for i, y := range ys {
			p, pass, _ = p.push(obs{float64(100 + i), y})
		}
		return p, len(pass) > 0
	}
	for _, c := range []struct {
		ys []float64
		is bool
	}{
		{[]float64{7.08}, true},           // a drop
		{[]float64{7.13}, false},          // a turn of the stirrer is not that fast
		{[]float64{7.4, 7.13}, true},      // two drops
		{[]float64{7.4, 7.16}, false},     // that are not that large
		{[]float64{7.4, 7.4, 7.16}, true}, // three
		{[]float64{7.4, 7.4, 7.4, 7.19}, true},
		{[]float64{7.4, 7.4, 7.4, 7.4, 7.4, 7.24}, false}, // nearly the upper line
		{[]float64{6.2}, true},
	} {
		_, is := counts(on(), c.ys...)
		assert.Equal(t, c.is, is, "%v", c.ys)
	}
	up := []float64{7.5, 7.42, 7.5, 7.41, 7.5, 7.43}
	p, is := counts(on(), up...)
	assert.False(t, is, "%d above it may be chance: 1 in 64", len(up))
	for range 6 {
		if p, is = counts(p, 7.42); is {
			break
		}
	}
	assert.True(t, is, "a dozen are not: 1 in 4,096")
	assert.InDelta(t, 7.42, p.last, 0.011)

	p = on()
	for range 40 {
		p, _ = counts(p, 7)
	}
	assert.True(t, p.on, "two lines that rest for less than a minute")
	for range 40 {
		p, _ = counts(p, 7)
	}
	assert.False(t, p.on)
}

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

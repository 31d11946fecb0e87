package probe

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// pushed is a tracker that has read y(t) each second up to and with t = n.
func pushed(k Tracker, from, n int, y func(t float64) float64) Tracker {
	for i := from; i <= n; i++ {
		k = k.Push(float64(i), y(float64(i)))
	}
	return k
}

func level(y float64) func(float64) float64 { return func(float64) float64 { return y } }

// A display that stands at one number tells where the value is between two roundings: evenly
// within a digit, whose standard deviation is that digit over √12. However long one waits, and
// however fine the display, no electrode repeats to better than about 0.1 mV, 0.0017 pH at the
// Nernst slope of 59.16 mV.
func TestASpreadIsNoSmallerThanTheDisplayAllows(t *testing.T) {
	for _, digit := range []float64{0.1, 0.05} {
		e := pushed(Track(Unknown()).Resolve(digit), 0, 600, level(7)).Estimate(600)
		assert.InEpsilon(t, digit/math.Sqrt(12), e.SD, 0.3, "digit %g", digit)
	}
	e := pushed(Track(Unknown()).Resolve(0.0001), 0, 900, func(t float64) float64 { return 7 + 0.0001*math.Round(math.Sin(t*t)) }).Estimate(900)
	assert.InEpsilon(t, 0.1/59.16, e.SD, 0.3)
}

// No end is below what a meter shows, but what a meter does show is said: a strong acid reads
// below 0.
func TestEndsOfStrongAcidAndBase(t *testing.T) {
	for _, y := range []float64{-1.6, 15.4} {
		assert.InDelta(t, y, pushed(Track(Unknown()).Resolve(0.01), 0, 120, level(y)).Estimate(120).End, 0.02)
	}
	for _, dir := range []float64{-1, 1} {
		k := pushed(Track(Unknown()).Resolve(0.01), 0, 12, level(7))
		for i := range 30 {
			k = k.Push(float64(13+i), 7+dir*0.01*float64(i*i))
			e := k.Estimate(float64(13 + i))
			require.True(t, e.End >= -2 && e.End <= 16, "%+v", e)
		}
	}
}

// What readings of a minute and a half would leave of the spread, foretold, and what is left
// when that time has passed. The covariance of a filter does not hang on what is read, so
// that the two are the same under one cell (R. E. Kalman, J. Basic Eng. 82, 35, 1960).
func TestAMinuteAndAHalfForetold(t *testing.T) {
	k := pushed(Track(Unknown()).Resolve(0.001), 0, 20, func(t float64) float64 { return 7 - 2*math.Exp(-t/8) })
	b := k.bank.clone()
	for i := range b.nodes {
		if b.nodes[i].logW > b.nodes[0].logW {
			b.nodes[0] = b.nodes[i]
		}
	}
	b.nodes = b.nodes[:1]
	b.trim()
	foretold := b.foretell(1, b.sum().within)
	noise := b.noises()[b.nodes[0].cell.noise]
	left := map[int]float64{}
	for s := 1; s <= 180; s++ {
		b = b.ahead(b.t+1, wander)
		n := &b.nodes[0]
		n.expect(n.shown(), noise)
		n.take(noise, false)
		left[s] = n.p[xEnd][xEnd]
	}
	t.Logf("left after 45, 90, 180 s: %.2g, %.2g, %.2g", left[45], left[90], left[180])
	assert.InEpsilon(t, left[90], foretold, 1e-6)
	assert.NotEqual(t, left[90], left[45])
}

// The readings of a meter that sends four a second are joined to one a second, and promise no
// more than those of one that sends one; every other second promises less.
func TestWaitingPromisesWhatItsReadingsTell(t *testing.T) {
	k := pushed(Track(Unknown()).Resolve(0.001), 0, 8, func(t float64) float64 { return 7 - math.Exp(-t/4) + 0.01*math.Sin(t*t) })
	final := func(every float64) float64 {
		k.interval = every
		return k.Estimate(8).FinalSD
	}
	assert.Equal(t, final(1), final(0.25))
	assert.Greater(t, final(2), final(1)*1.001)
}

// The doubt whether the electrode is in already goes within seconds: a reading that stands is
// as sure again a quarter of a minute after it was said, and not half as long.
func TestAnElectrodeThatWasPutInIsBelievedSoon(t *testing.T) {
	k := pushed(Track(Unknown()).Resolve(0.01), 0, 60, level(5)).Immerse(60)
	k = pushed(k, 61, 67, level(5))
	assert.Greater(t, k.Estimate(67).SD, 0.05)
	k = pushed(k, 68, 77, level(5))
	assert.Less(t, k.Estimate(77).SD, 0.012)
}

package probe_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/probe"
)

// display is what a meter with two decimals shows, read by somebody who looks at it.
func display(g *glass, t float64) float64 {
	g.to(t)
	return math.Round(g.read()*100) / 100
}

func typist() probe.Tracker { return probe.Track(probe.Unknown()).Resolve(0.01) }

// errors of values that stand, in their own spreads, so long after steps of a size.
func standing(step, after float64) (z2, sd float64) {
	const n = 400
	for seed := range uint64(n) {
		r := rand.New(rand.NewPCG(seed, 5))
		at := 5 + 3*r.Float64()
		g := newGlass(kinds[1], seed, at, at)
		k := typist().Type(0, display(g, 0), true)
		to := at + step*(0.8+0.4*r.Float64())
		g.pool = to
		k, _ = k.Give(probe.Addition{Seq: 1, T: 10, From: math.NaN(), Step: step, SD: step / 10})
		e := k.Type(10+after, display(g, 10+after), true).Estimate(10 + after)
		z2 += (e.End - to) * (e.End - to) / (e.SD * e.SD) / n
		sd += e.SD / n
	}
	return z2, sd
}

func TestAValueThatStandsIsWorthItsSpread(t *testing.T) {
	for _, tt := range []struct {
		step, after float64
		low, high   float64 // of the mean square error in spreads
	}{
		{0.0, 60, 0.6, 1.5}, // the reading of the display alone
		{3.0, 60, 1.0, 2.4}, // the late part after a long way
		{3.0, 150, 1.0, 2.4},
	} {
		z2, sd := standing(tt.step, tt.after)
		t.Logf("step %.1f, after %.0f s: mean square error %.2f spreads², spread %.4f", tt.step, tt.after, z2, sd)
		assert.Greater(t, z2, tt.low, "%v", tt)
		assert.Less(t, z2, tt.high, "%v", tt)
	}
}

func TestAValueThatStandsIsTheEstimate(t *testing.T) {
	k := typist().Type(10, 7.42, true)
	e := k.Estimate(10)
	assert.Equal(t, probe.Settled, e.State)
	assert.Equal(t, 7.42, e.End)
	assert.Equal(t, e.SD, e.FinalSD, "waiting does not make it better")
	assert.True(t, k.Stands())
	in := typist().Type(10, 7.42, false)
	assert.Equal(t, probe.Settling, in.Estimate(10).State)
	assert.Greater(t, in.Estimate(10).SD, 1.0, "one value in passing says little")
	assert.False(t, in.Stands())
}

func TestTwoValuesThatAgreeStand(t *testing.T) {
	for _, tt := range []struct {
		apart, off float64
		stands     bool
	}{{20, 0, true}, {20, 0.01, true}, {20, 0.02, false}, {15, 0, false}, {27, 0, true}} {
		k := typist().Type(10, 7.42, false).Type(10+tt.apart, 7.42+tt.off, false)
		assert.Equal(t, tt.stands, k.Stands(), "%v", tt)
	}
	k := typist().Type(0, 7.42, true)
	k, _ = k.Give(probe.Addition{Seq: 1, T: 30, From: math.NaN(), Step: 0.1, SD: 0.01})
	assert.True(t, k.Unread())
	assert.False(t, k.Type(60, 7.42, false).Stands(), "not with one from before the addition")
}

func TestAValueAfterAnAdditionAlwaysCounts(t *testing.T) {
	for _, to := range []float64{7.5, 7.6, 9.4, 4.1} { // foretold, and not at all
		k := typist().Type(0, 7.42, true)
		k, g := k.Give(probe.Addition{Seq: 1, T: 20, From: math.NaN(), Step: 0.1, SD: 0.01})
		assert.Equal(t, 7.42, g.Before.End)
		k = k.Type(60, to, false).Type(75, to, false)
		assert.InDelta(t, to, k.Estimate(75).End, 0.15, "after %g", to)
		assert.Empty(t, k.Moves(), "it is that of the addition")
	}
}

func TestAValueThatHasLeftItsLevelIsAMove(t *testing.T) {
	for _, tt := range []struct {
		off  float64
		move bool
	}{{0.03, false}, {0.04, false}, {0.08, true}, {0.5, true}} {
		k := typist().Type(0, 7.42, true).Type(40, 7.42, true).Type(80, 7.42+tt.off, true)
		assert.Len(t, k.Moves(), map[bool]int{true: 1}[tt.move], "%v", tt)
		if tt.move {
			k, g := k.Give(probe.Addition{Seq: 1, T: 90, From: math.NaN(), Step: 0.1, SD: 0.01})
			assert.Empty(t, k.Moves())
			assert.InDelta(t, 7.42, g.Before.End, 1e-6)
			assert.True(t, k.Stands(), "what was typed is of the beaker with it")
			assert.False(t, k.Unread())
		}
	}
}

// In passing: a value says what is left of the way, as far as the electrode is known.
func TestValuesInPassing(t *testing.T) {
	const n = 300
	z2, sd := 0.0, 0.0
	for seed := range uint64(n) {
		r := rand.New(rand.NewPCG(seed, 6))
		at := 5 + 3*r.Float64()
		g := newGlass(kinds[1], seed, at, at)
		k := typist().Type(0, display(g, 0), true)
		to := at + 0.4 + 0.2*r.Float64()
		g.pool = to
		k, _ = k.Give(probe.Addition{Seq: 1, T: 10, From: math.NaN(), Step: 0.5, SD: 0.1})
		for _, at := range []float64{22, 36, 50} {
			k = k.Type(at, display(g, at), false)
		}
		e := k.Estimate(50)
		z2 += (e.End - to) * (e.End - to) / (e.SD * e.SD) / n
		sd += e.SD / n
	}
	t.Logf("mean square error %.2f spreads², spread %.4f", z2, sd)
	assert.Less(t, z2, 1.0)
	assert.Less(t, sd, 0.08, "cautious: nothing is known of the late part yet")
}

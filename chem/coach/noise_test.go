package coach_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
)

// TestNoiseTellsTheMeter: by the noise measured on recordings, laboratory glass 0.0008 to
// 0.002, the sensor of a practical course 0.025 to 0.032.
func TestNoiseTellsTheMeter(t *testing.T) {
	for sd, want := range map[float64]coach.Noise{
		0: coach.Unheard, 0.0008: coach.Quiet, 0.002: coach.Quiet, 0.0095: coach.Quiet,
		0.0105: coach.Unheard, 0.0175: coach.Unheard, 0.0185: coach.Rough, 0.025: coach.Rough, 0.032: coach.Rough,
	} {
		assert.Equal(t, want, coach.NoiseOf(sd), "%g", sd)
	}
}

// TestNoiseIsAPrior: the share of the accounts with a scale that is badly calibrated is
// that of the kind of meter, the sum of all as before.
func TestNoiseIsAPrior(t *testing.T) {
	v := newVirtual(rand.New(rand.NewPCG(7, 36)))
	for n, want := range map[coach.Noise]float64{coach.Unheard: 0.06, coach.Quiet: 0.02, coach.Rough: 0.7} {
		shifted, all := v.bench.ShiftedPrior(coach.History{Noise: n})
		assert.InDelta(t, want, shifted/all, 1e-9, "%v", n)
		assert.InDelta(t, 1, all, 1e-9, "%v", n)
		careless := v.bench.CarelessPrior(coach.History{Noise: n})
		assert.Equal(t, n == coach.Rough, careless > 0.2*all && careless < 0.4*all, "%v: %g of them do not know their drops either", n, careless)
	}
}

// TestRoughMeterIsDosedWarily: and the other way round, on the same readings. A belief of
// one kind of meter is not taken for that of another.
func TestRoughMeterIsDosedWarily(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 1))
	fewer, more, played := 0, 0, 0
	for range 40 {
		v := newVirtual(r)
		y := v.reading(t)
		first := v.bench.Advise(coach.Request{Now: coach.Present{PH: y, SD: 0.005, FinalSD: 0.005, Shown: y, Settled: true, Age: 200}})
		if first.Do != coach.Add {
			continue
		}
		v.add(first)
		h := coach.History{Additions: []coach.Addition{{Stock: first.Stock, Volume: first.Volume, Drops: first.Drops}}, Observations: []coach.Observation{{PH: y, SD: 0.005}}}
		y = v.reading(t)
		drops := map[coach.Noise]float64{}
		for _, n := range []coach.Noise{coach.Unheard, coach.Quiet, coach.Rough} {
			h.Noise = n
			a := v.bench.Advise(coach.Request{History: h, Now: coach.Present{PH: y, SD: 0.005, FinalSD: 0.005, Shown: y, Settled: true, Age: 200}})
			if a.Do == coach.Add && a.Stock == first.Stock {
				drops[n] = a.Drops
			}
		}
		if len(drops) < 3 {
			continue
		}
		played++
		if drops[coach.Rough] < drops[coach.Unheard] {
			fewer++
		}
		if drops[coach.Quiet] > drops[coach.Unheard] {
			more++
		}
	}
	require.Greater(t, played, 15)
	assert.Greater(t, fewer, played/4, "of %d", played)
	assert.Greater(t, more, played/5, "of %d", played)
}

// TestLatePartIsDosedWarily: the readings of an electrode with a large late part are no
// better than their spreads say, and its additions may pass with half the chance.
func TestLatePartIsDosedWarily(t *testing.T) {
	v := newVirtual(rand.New(rand.NewPCG(7, 36)))
	h, _, _, _ := v.titrate(t)
	require.GreaterOrEqual(t, len(h.Additions), 2)
	last := h.Observations[1]
	first := coach.History{Observations: h.Observations[:1]}
	h.Additions, h.Observations = h.Additions[:1], h.Observations[:2]
	usual, last1, none := v.bench.Chance(h, 0), v.bench.LastChance(h), v.bench.Chance(first, 0)
	h.Late, first.Late = true, true
	assert.InDelta(t, 0.007, v.bench.Chance(h, 0), 1e-9)
	assert.InDelta(t, 0.015, v.bench.LastChance(h), 1e-9)
	assert.InDelta(t, 0.015, usual, 1e-9)
	assert.InDelta(t, 0.02, last1, 1e-9)
	assert.InDelta(t, none, v.bench.Chance(first, 0), 1e-9, "the first goes by labels")
	now := coach.Present{PH: last.PH, SD: 0.005, FinalSD: 0.005, Shown: last.PH, Settled: true, Age: 200}
	warily := v.bench.Advise(coach.Request{History: coach.History{Additions: h.Additions, Observations: h.Observations[:1], Late: true}, Now: now})
	boldly := v.bench.Advise(coach.Request{History: coach.History{Additions: h.Additions, Observations: h.Observations[:1]}, Now: now})
	require.Equal(t, coach.Add, boldly.Do)
	assert.Less(t, warily.Volume, boldly.Volume)
}

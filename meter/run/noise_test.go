package run_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/view"
)

// TestNoiseReachesTheCoach: what was read before an addition says which kind of meter it
// is; what somebody types says nothing of it.
func TestNoiseReachesTheCoach(t *testing.T) {
	for noise, want := range map[float64]coach.Noise{0.002: coach.Quiet, 0.028: coach.Rough} {
		w := nearly(t)
		for range 60 {
			w.sec++
			x := math.Round((6.9+noise*w.r.NormFloat64())*1000) / 1000
			require.NoError(t, w.keep.Take(journal.Event{T: w.sec, Kind: journal.Read, Reading: &journal.Reading{PH: &x, TempC: num(25), Decimals: 3}}))
		}
		assert.Equal(t, coach.Unheard, w.keep.State.History().Noise, "nothing was given yet")
		a, err := w.keep.State.Addition("NaOH 1 M", 3, 0)
		require.NoError(t, err)
		require.NoError(t, w.keep.Take(journal.Event{T: w.sec, Kind: journal.Added, Added: &a}))
		assert.Equal(t, want, w.keep.State.History().Noise, "%g", noise)
	}
	k := byHand(t)
	v := typeIn(t, k, 10, 10.70, true)
	give(t, k, 20, "acid", v.Advice.Drops)
	assert.Equal(t, coach.Unheard, k.State.History().Noise, "typed")
}

// TestLatePartReachesTheCoach: by the mean of what was read before the additions in force.
func TestLatePartReachesTheCoach(t *testing.T) {
	for share, want := range map[float64]bool{0.01: false, 0.09: true} {
		w := nearly(t)
		w.creep(4, 6.9, share, 200, 150, func(view.View) bool { return false })
		assert.False(t, w.keep.State.History().Late)
		a, err := w.keep.State.Addition("NaOH 1 M", 3, 0)
		require.NoError(t, err)
		require.NoError(t, w.keep.Take(journal.Event{T: w.sec, Kind: journal.Added, Added: &a}))
		assert.Equal(t, want, w.keep.State.History().Late, "%g", share)
		// One composition in which it shows less, or more, does not turn that.
		w.creep(6.9, 6.95, 0.025, 200, 90, func(view.View) bool { return false })
		a, err = w.keep.State.Addition("NaOH 1 M", 1, 0)
		require.NoError(t, err)
		require.NoError(t, w.keep.Take(journal.Event{T: w.sec, Kind: journal.Added, Added: &a}))
		assert.Equal(t, want, w.keep.State.History().Late, "%g, again", share)
	}
}

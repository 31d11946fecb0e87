package run_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/recorded"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/sim"
)

// Who says that the first drop falls loses nothing by it: the reading of a meter that sends
// each half a minute still counts for what was before, and where the addition is on record
// before any of it shows, what comes then is its doing. Both were taken for additions that
// missed the beaker, and for bottles that were not as labelled.
func TestToSayThatItFallsAccusesNobody(t *testing.T) {
	for _, c := range []struct {
		name       string
		every, tau float64 // s
	}{{"a meter that sends each half a minute", 30, 5}, {"a slow electrode", 1, 38}} {
		t.Run(c.name, func(t *testing.T) {
			b := newStand(t, phosphate(), func(_ *recipe.Setup, tr *sim.Truth) { tr.Tau, tr.Decimals, tr.Seed = c.tau, 2, 12 })
			var v view.View
			falls, left, last := "", 0.0, 0.0
			for b.sec < 1500 && v.Advice.Do != coach.Stop {
				b.sec++
				if left > 0 {
					require.NoError(t, b.sim.Dispense(falls, math.Min(2, left), 0))
					left, last = left-2, b.sec
				}
				if falls != "" && b.sec == last+3 { // a hand is free
					a, err := b.keep.State.Addition(falls, v.Advice.Drops, 0)
					require.NoError(t, err)
					require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Added, Added: &a}))
					falls = ""
				}
				b.sim.Advance(b.sec)
				r := recorded.Reading(b.sim.Sample())
				if math.Mod(b.sec, c.every) != 0 {
					continue
				}
				require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Read, Reading: r}))
				if falls != "" {
					continue
				}
				v = b.keep.Look(b.sec)
				require.NotEqual(t, coach.Mistaken, v.Advice.Reason, "%.0f s: %s", b.sec, v.Why())
				if v.Advice.Do == coach.Add && v.Falling == nil {
					falls, left = v.Titrant, v.Advice.Drops
					require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Dosing}))
				}
			}
			assert.Equal(t, coach.Stop, v.Advice.Do, v.Sentence())
			for _, e := range v.Entries {
				assert.Less(t, e.Before.SD, 0.2, "what was before it is known")
			}
		})
	}
}

package run_test

import (
	"math"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/recorded"
)

// wild are values as seen on open recordings when an electrode was touched: 14.5,
// −0.5, 1.38; and smaller ones.
var wild = []float64{14, 0, 1.38, 9.7, 6.2, 12.4}

// A whole run on which every eleventh reading is wild and every third of those
// comes as a pair, also in the first seconds and while drops fall: nobody is
// accused, no value is spoilt, and the run ends inside.
func TestWildReadingsLeaveNoTrace(t *testing.T) {
	for seed := uint64(3); seed < 6; seed++ {
		b, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), seed)
		n := 0
		second := func() (do coach.Advice) {
			b.sec++
			b.sim.Advance(b.sec)
			ph, i := *recorded.Reading(b.sim.Sample()).PH, int(b.sec)
			if k := i % 11; k == 3 || k == 4 && i/11%3 == 0 {
				ph, n = wild[i%len(wild)], n+1
			}
			y := math.Round(1000*ph) / 1000
			require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Read, Reading: &journal.Reading{PH: &y, Decimals: 3}}))
			v := b.keep.Look(b.sec)
			require.NotEqual(t, coach.Check, v.Advice.Do, "%g s: %s %s", b.sec, v.Sentence(), v.Why())
			assert.Empty(t, v.Spotted, "%g s", b.sec)
			return v.Advice
		}
		a := coach.Advice{}
		for range 900 {
			if a = second(); a.Do == coach.Stop {
				break
			}
			if a.Do == coach.Add {
				name := b.keep.State.Setup.Stocks[a.Stock].Name
				for range int(a.Drops) {
					require.NoError(t, b.sim.Dispense(name, 1, 0))
					second()
				}
				x, err := b.keep.State.Addition(name, a.Drops, 0)
				require.NoError(t, err)
				require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Added, Added: &x}))
			}
		}
		require.Equal(t, coach.Stop, a.Do, "seed %d, after %g s", seed, b.sec)
		assert.Equal(t, coach.InTolerance, a.Reason)
		assert.InDelta(t, a.Aim, b.sim.True(), a.Tolerance, "seed %d", seed)
		assert.Greater(t, n, 20)
	}
}

// Once said, hands off stays while nothing speaks against it: near the edge of the
// tolerance the screen does not come and go.
func TestHandsOffDoesNotFlicker(t *testing.T) {
	b, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 6)
	for range 40 {
		v := b.seconds(1)
		if v.Advice.Do == coach.Stop {
			break
		}
		if v.Advice.Do == coach.Add && math.Abs(v.Advice.Aim-v.Advice.After) < v.Advice.Tolerance {
			b.add(v.Titrant, v.Advice.Drops)
			break
		}
		if v.Advice.Do == coach.Add {
			b.add(v.Titrant, v.Advice.Drops)
		}
		b.seconds(20)
	}
	aim := b.keep.Look(b.sec).Advice.Aim
	edge := aim + 0.9*0.02
	views := b.shown(edge, 0.01, 120)
	changes := 0
	for i, v := range views[1:] {
		if (v.Advice.Reason == coach.HandsOff) != (views[i].Advice.Reason == coach.HandsOff) {
			changes++
		}
	}
	assert.LessOrEqual(t, changes, 3, "%v", reasons(views))
}

// Somebody slow is in the middle of an order of many drops, and the meter has two
// decimals: it stands still between drops, and nobody is asked yet.
func TestSlowDropsAreNotAskedAbout(t *testing.T) {
	b, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 6)
	v := b.order()
	require.Greater(t, v.Advice.Drops, 20.0)
	asked := 0
	show := func() {
		b.sec++
		b.sim.Advance(b.sec)
		y := math.Round(100**recorded.Reading(b.sim.Sample()).PH) / 100
		require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Read, Reading: &journal.Reading{PH: &y, Decimals: 2}}))
		if b.keep.Look(b.sec).Advice.Reason == coach.Unsaid {
			asked++
		}
	}
	half := int(v.Advice.Drops / 2)
	for i := range half {
		require.NoError(t, b.sim.Dispense(v.Titrant, 1, 0))
		show()
		if i == half/2 { // the hand rests for a while
			for range 14 {
				show()
			}
		}
	}
	assert.Zero(t, asked)
	for range 60 { // and here it has stopped
		show()
	}
	assert.Positive(t, asked, "half of it is in, and nobody says so")
}

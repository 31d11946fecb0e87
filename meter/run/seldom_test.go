package run_test

import (
	"math"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
)

// A meter that sends only what changes is silent while the beaker is at rest: that was called no
// signal for ever. What it shows meanwhile counts, for two minutes, as if it had sent it each
// second; a line that is lost does not.
func TestAMeterThatSendsOnlyWhatChanges(t *testing.T) {
	ordered := func(silent, lost bool) float64 {
		b, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 6)
		r := rand.New(rand.NewPCG(3, 8))
		last := math.NaN()
		for i := range 900 {
			sec := float64(i) / 4
			y := math.Round(100*(9.87+0.4*math.Exp(-sec/8)+0.0003*r.NormFloat64())) / 100
			if lost && i == 120 {
				require.NoError(t, b.keep.Take(journal.Event{T: sec, Kind: journal.LinkChange, Link: &journal.Link{State: "lost"}}))
			} else if i == 122 && silent && !lost {
				require.NoError(t, b.keep.Take(journal.Event{T: sec, Kind: journal.LinkChange, Link: &journal.Link{State: "quiet"}}))
			}
			if i%4 == 0 && (!silent || y != last) && !(lost && i >= 120) {
				last = y
				require.NoError(t, b.keep.Take(journal.Event{T: sec, Kind: journal.Read, Reading: &journal.Reading{PH: &y, Decimals: 2}}))
			} else if same, ok := b.keep.State.Unsent(sec); ok && silent {
				require.NoError(t, b.keep.Take(journal.Event{T: sec, Kind: journal.Read, Reading: &same}))
			}
			v := b.keep.Look(sec)
			if v.Advice.Do == coach.Add {
				return sec
			}
			if sec > 60 && !lost {
				require.NotEqual(t, coach.Stale, v.Advice.Reason)
				require.NotEqual(t, coach.Faulty, v.Advice.Reason, "a line that is quiet because nothing changes is well")
			}
		}
		return math.Inf(1)
	}
	each := ordered(false, false)
	require.Less(t, each, 100.0)
	assert.InDelta(t, each, ordered(true, false), 10)
	assert.True(t, math.IsInf(ordered(true, true), 1), "nothing comes over a line that is lost")
}

// One that is at rest when it is begun sends one reading, and no more. What brings it to send is
// said; of one that has gone by the clock it is not.
func TestAMeterThatIsAtRestFromTheFirst(t *testing.T) {
	for n, says := range map[int]bool{1: true, 2: false} {
		b, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 6)
		y := 9.87
		for i := range n {
			require.NoError(t, b.keep.Take(journal.Event{T: float64(i), Kind: journal.Read, Reading: &journal.Reading{PH: &y, Decimals: 2}}))
		}
		require.NoError(t, b.keep.Take(journal.Event{T: 6, Kind: journal.LinkChange, Link: &journal.Link{State: "quiet", Note: "nothing arrives from the meter. Is it on?"}}))
		why := b.keep.Look(7).Why()
		require.Contains(t, why, "nothing arrives")
		assert.Equal(t, says, strings.Contains(why, "lift the electrode"), why)
	}
}

package replay_test

import (
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/hands"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/replay/replaytest"
)

// fromEnv is a number of the environment: HALFDROP_CLUMSY, how many runs that went
// past their aim to look at (the figure to reach is for 500), and HALFDROP_SEED, the
// bench to begin with (those below 1000 were looked at when this was tuned).
func fromEnv(name string, usual int) int {
	if n, err := strconv.Atoi(os.Getenv(name)); err == nil {
		return n
	}
	return usual
}

// Every overshoot of clumsy people, whose drops fall one by one and are put on
// record later, is found, and nineteen in twenty of their causes are told rightly.
func TestOvershootsAreFoundAndExplained(t *testing.T) {
	runs, found, right, open, stuck := 0, 0, 0, 0, 0
	wanted := fromEnv("HALFDROP_CLUMSY", 6)
	confused := map[string]int{}
	for seed := uint64(fromEnv("HALFDROP_SEED", 1)); runs < wanted; seed++ {
		p := play(t, seed, hands.Drip)
		if p == nil {
			continue
		}
		runs++
		r, err := replaytest.Of(p.log.Events)
		require.NoError(t, err)
		got := replay.Cause("none")
		for _, o := range r.Review().Over {
			if p.dir*(o.PH-o.Aim) > 0 {
				if got = o.Cause; o.Needed < 0 {
					stuck++
					t.Logf("seed %d: %s", seed, o.Words)
				}
				if o.Alone && p.cause == replay.Unlogged { // it says that the two cannot be told apart
					open++
					got = p.cause
				}
				if os.Getenv("HALFDROP_STORY") != "" {
					t.Logf("seed %d, %s: %s", seed, p.cause, o.Words)
				}
				break
			}
		}
		if got != "none" {
			found++
		}
		if got == p.cause {
			right++
		} else {
			confused[string(p.cause)+" taken for "+string(got)]++
			t.Logf("seed %d: %s taken for %s, past by %.3f", seed, p.cause, got, p.worst)
		}
	}
	t.Logf("%d runs past their aim, %d found, %d causes right (of which %d left open between a stronger bottle and something not logged), confused: %v; in %d the coach would not have got there", runs, found, right, open, confused, stuck)
	// One of some hundred is past by less than the meter is off, and was read within.
	assert.GreaterOrEqual(t, found, runs-runs/200, "every overshoot is found")
	assert.GreaterOrEqual(t, float64(right), 0.95*float64(runs)-0.5)
	assert.LessOrEqual(t, float64(stuck), 0.01*float64(runs), "benches of all bottles: the coach gets to the aim on all but one in a hundred")
}

// A run that the record calls outside the tolerance by its last reading, by less than
// half a digit, has its overshoot, in the same figures: one drop too many for a beaker
// that was to be left alone.
func TestTheLastReadingCountsAsOnRecord(t *testing.T) {
	p := play(t, 88355, hands.Drip)
	require.NotNil(t, p)
	r, err := replaytest.Of(p.log.Events)
	require.NoError(t, err)
	v := r.Review()
	require.False(t, v.InAim)
	require.Len(t, v.Over, 1)
	o := v.Over[0]
	assert.Equal(t, 2, o.Step)
	assert.Equal(t, replay.TooLarge, o.Cause)
	assert.Equal(t, v.Read.PH, o.PH)
	assert.Less(t, o.Past, v.Tolerance+0.01)
	assert.Contains(t, o.Words, "nothing more: it stood at 3.39, within the tolerance. The coach would have stopped there.")
}

// The display at the end, about 12, counts, also where the estimate of it had just begun anew:
// what was filled in by the label stood at 7.44, and nothing was said of four pH too much.
func TestTheLastDisplayCounts(t *testing.T) {
	p := play(t, 600362, hands.Drip)
	require.NotNil(t, p)
	r, err := replaytest.Of(p.log.Events)
	require.NoError(t, err)
	v := r.Review()
	require.NotEmpty(t, v.Over)
	last := math.NaN()
	for _, e := range p.log.Events {
		if e.Reading != nil && e.Reading.PH != nil {
			last = *e.Reading.PH
		}
	}
	assert.Greater(t, last, 11.0)
	assert.InDelta(t, last, v.Over[0].PH, 0.2, "it was still on its way")
}

package replay_test

import (
	"bytes"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/hands"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/replay"
	"example.org/halfdrop/meter/replay/replaytest"
	"example.org/halfdrop/meter/run/propose"
	"example.org/halfdrop/meter/trial"
)

// bench is somebody at an ordinary bench whose plan leads the way asked for.
func bench(t *testing.T, seed uint64, amount float64) *clumsy {
	t.Helper()
	b, err := trial.Draw(trial.Ordinary, seed)
	require.NoError(t, err)
	b.Truth.LnAmount += math.Log(amount)
	c := newClumsy(t, b, seed, hands.Drip)
	c.settle()
	return c
}

// told is the first overshoot in the direction of the plan, and the review.
func told(t *testing.T, c *clumsy) (replay.Overshoot, replay.Review) {
	t.Helper()
	c.end()
	require.True(t, c.over(), "it went past")
	r, err := replaytest.Of(c.log.Events)
	require.NoError(t, err)
	v := r.Review()
	for _, o := range v.Over {
		if c.dir*(o.PH-o.Aim) > 0 {
			return o, v
		}
	}
	var out bytes.Buffer
	require.NoError(t, v.WriteText(&out))
	t.Fatal("no overshoot was found\n" + out.String())
	return replay.Overshoot{}, v
}

// near brings the beaker close to its aim, with what was planned.
func (c *clumsy) near() {
	for range 4 {
		n := c.need(coarse, c.keep.Look(c.sec).Settling.End)
		if n < 4 {
			break
		}
		c.give(coarse, 0.8*n)
		c.settle()
	}
}

// Drops that are recorded as acid, where base fell: the reading goes the wrong way,
// and that is said, not that the dose was large.
func TestAnExchangedBottleIsSaid(t *testing.T) {
	c := bench(t, 4, 1)
	c.near()
	n := math.Max(4, math.Round(-c.need(coarse, c.keep.State.Forecast().Aim+0.3*c.dir)))
	c.fall(c.bench.Setup.Stocks[coarse].Name, n, 0, n, true)
	a, err := c.keep.State.Addition(c.bench.Setup.Stocks[opposite].Name, n, 0)
	require.NoError(t, err)
	require.NoError(t, c.keep.Take(journal.Event{T: c.sec, Kind: journal.Added, Added: &a}))
	c.settle()
	o, _ := told(t, c)
	assert.Equal(t, replay.Exchanged, o.Cause, o.Words)
	assert.Contains(t, o.Words, "came from a bottle other than the one recorded")
	assert.NotContains(t, o.Words, "larger than was safe")
}

// With half of the buffer in the beaker every drop does twice as much; the dose is
// not blamed, and less buffer is among what it may be.
func TestHalfTheBufferIsNotBlamedOnTheDose(t *testing.T) {
	for _, seed := range []uint64{2, 9} {
		c := bench(t, seed, 0.5)
		c.give(coarse, 0.25*c.need(coarse, c.keep.Look(c.sec).Settling.End))
		c.settle()
		c.give(coarse, 0.8*c.need(coarse, c.keep.Look(c.sec).Settling.End))
		c.settle()
		if !c.over() {
			continue
		}
		o, _ := told(t, c)
		assert.Equal(t, replay.Stronger, o.Cause, "seed %d: %s", seed, o.Words)
		assert.Contains(t, o.Words, "less buffer in the beaker")
	}
}

// An addition that was withdrawn although it fell is named by its number, as the
// list has it.
func TestWithdrawnThoughItFellIsSaid(t *testing.T) {
	c := bench(t, 6, 1)
	c.near()
	n := len(c.keep.State.Additions())
	c.wait(40)
	c.give(coarse, math.Max(6, 2.5*c.need(coarse, c.keep.Look(c.sec).Settling.End)))
	last, _ := c.keep.State.Latest()
	c.settle()
	require.NoError(t, c.keep.Take(journal.Event{T: c.sec, Kind: journal.Undone, Undo: &journal.Undo{Seq: last.Seq, Reason: "not said"}}))
	c.wait(60)
	o, v := told(t, c)
	assert.Equal(t, replay.Withdrawn, o.Cause, o.Words)
	assert.Equal(t, n+1, o.Step, "the number that it has in the list")
	require.Len(t, v.Steps, n+1)
	assert.True(t, v.Steps[n].Undone)
	assert.Contains(t, o.Words, "was withdrawn; the reading says that it fell")
}

// A corrected addition counts as it was in the end, under its number and its time.
func TestACorrectedAdditionKeepsItsNumber(t *testing.T) {
	c := bench(t, 8, 1)
	n := math.Round(1.3 * c.need(coarse, c.keep.Look(c.sec).Settling.End))
	c.fall(c.bench.Setup.Stocks[coarse].Name, n, 0, n, true)
	a, err := c.keep.State.Addition(c.bench.Setup.Stocks[coarse].Name, 1, 0)
	require.NoError(t, err)
	require.NoError(t, c.keep.Take(journal.Event{T: c.sec, Kind: journal.Added, Added: &a}))
	at := c.sec
	fix, err := propose.Correction(c.keep.State, journal.Correction{To: journal.Addition{Drops: n}, Reason: "miscounted"})
	require.NoError(t, err)
	require.NoError(t, c.keep.Take(journal.Event{T: c.sec, Kind: journal.Corrected, Correct: &fix}))
	c.settle()
	o, v := told(t, c)
	assert.Equal(t, replay.TooLarge, o.Cause, o.Words)
	assert.Equal(t, 1, o.Step)
	assert.Equal(t, at, o.T, "the time that it has in the list")
	assert.Equal(t, v.Steps[0].T, o.T)
	assert.Equal(t, n, v.Steps[0].Drops)
	assert.InDelta(t, v.Steps[0].After.PH, o.PH, 1e-9, "one number everywhere")
}

// A check says which mistake it is about, in the list and in the words of it.
func TestACheckNamesItsMistake(t *testing.T) {
	named := 0
	for seed := uint64(1); seed < 12 && named == 0; seed++ {
		b, err := trial.Draw(trial.Ordinary, seed)
		require.NoError(t, err)
		b.Truth.LnAmount += math.Log(0.5)
		c := newClumsy(t, b, seed, hands.AtOnce)
		c.coached(6)
		c.end()
		r, err := replaytest.Of(c.log.Events)
		require.NoError(t, err)
		for i := range r.Len() {
			if e := r.Event(i); e.Kind == journal.Advised && e.Advice.Reason == "mistake" {
				named++
				require.NotEmpty(t, e.Advice.Named)
				assert.Contains(t, replay.AdviceText(*e.Advice), "check: this looks like "+e.Advice.Named[0])
			}
		}
		var out bytes.Buffer
		v := r.Review()
		require.NoError(t, v.WriteText(&out))
		assert.NotContains(t, out.String(), "check: mistake")
	}
	assert.Positive(t, named, "a check was seen")
}

// An electrode that stood in a standard beyond the aim when the run was begun, and was then
// put into the beaker, is no overshoot and no addition that nobody logged: told with i, or
// not, as long as nothing had been ordered.
func TestAnElectrodePutInIsNoOvershoot(t *testing.T) {
	for _, told := range []bool{true, false} {
		for seed, runs := uint64(400), 0; runs < 2; seed++ {
			b, err := trial.Draw(trial.Ordinary, seed)
			require.NoError(t, err)
			c := newClumsy(t, b, seed, hands.AtOnce)
			if c.dir < 0 {
				continue
			}
			runs++
			for range 30 { // of which the bench of the test knows nothing
				c.sec++
				ph := 10.01 + 0.003*c.r.NormFloat64()
				require.NoError(t, c.keep.Take(journal.Event{T: c.sec, Kind: journal.Read, Reading: &journal.Reading{PH: &ph, Decimals: 3}}))
			}
			if told {
				require.NoError(t, c.keep.Take(journal.Event{T: c.sec, Kind: journal.Immersed}))
			}
			c.coached(20)
			c.end()
			r, err := replaytest.Of(c.log.Events)
			require.NoError(t, err)
			for _, o := range r.Review().Over {
				assert.Fail(t, o.Words, "seed %d, told %v", seed, told)
			}
		}
	}
}

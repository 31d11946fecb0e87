package propose_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/run/propose"
	"example.org/halfdrop/meter/run/runtest"
)

// begun is a run that has a plan, and no reading yet.
func begun(t *testing.T) run.State {
	t.Helper()
	s, err := run.Open(runtest.First(runtest.Tris()))
	require.NoError(t, err)
	return s
}

// What makes no sense in a state is refused before anything is on record, and the state stays.
func TestWhatMakesNoSenseIsRefused(t *testing.T) {
	s := begun(t)
	_, _, err := propose.Confirming(s, 1, "stock:acid")
	assert.ErrorIs(t, err, propose.ErrNoCheck)
	_, _, err = propose.Passing(s, 1, 250)
	assert.ErrorContains(t, err, "no room left under the old one")
	_, err = propose.Urging(s, 1)
	assert.ErrorIs(t, err, propose.ErrNothingHeld)
	assert.ErrorIs(t, propose.CanDose(s), propose.ErrNoOrder)
	_, err = propose.Correction(s, journal.Correction{To: journal.Addition{Drops: 7}})
	assert.ErrorIs(t, err, run.ErrNothing)
	assert.Nil(t, propose.Ending(s, 1, "left").End.Read, "nothing was read at rest")
	assert.EqualValues(t, 1, s.Seq)
}

// A correction keeps what it does not name: of what was keyed with another bottle its drops, of
// what was miscounted its bottle, of what was poured its mL.
func TestACorrectionKeepsTheRest(t *testing.T) {
	s := begun(t)
	for i, a := range []journal.Addition{{Titrant: "acid", Drops: 6, ML: 0.3}, {Titrant: "acid", ML: 1.25}} {
		next, err := run.Step(s, journal.Event{Seq: int64(i + 2), T: float64(i + 1), Kind: journal.Added, Added: &a})
		require.NoError(t, err)
		s = next
	}
	c, err := propose.Correction(s, journal.Correction{Seq: 2, To: journal.Addition{Titrant: "base"}, Reason: "the other bottle"})
	require.NoError(t, err)
	assert.Equal(t, "base", c.To.Titrant)
	assert.Equal(t, 6.0, c.To.Drops)
	assert.Equal(t, "the other bottle", c.Reason)
	c, err = propose.Correction(s, journal.Correction{Seq: 2, To: journal.Addition{Drops: 7}})
	require.NoError(t, err)
	assert.Equal(t, "acid", c.To.Titrant)
	assert.Equal(t, 7.0, c.To.Drops)
	c, err = propose.Correction(s, journal.Correction{To: journal.Addition{Titrant: "base"}})
	require.NoError(t, err)
	assert.EqualValues(t, 3, c.Seq, "the latest")
	assert.Zero(t, c.To.Drops)
	assert.InDelta(t, 1.25, c.To.ML, 1e-9)
}

package run_test

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/run/given"
	"example.org/halfdrop/meter/run/propose"
)

func TestCorrectionsOfAnAddition(t *testing.T) {
	b, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 6)
	_, err := propose.Correction(b.keep.State, journal.Correction{To: journal.Addition{Drops: 7}})
	require.ErrorIs(t, err, run.ErrNothing)
	b.seconds(30)
	b.add("acid", 6)
	b.add("acid", 2)
	entries := b.keep.Look(30).Entries

	c, err := propose.Correction(b.keep.State, journal.Correction{Seq: entries[0].Seq, To: journal.Addition{Drops: 7}, Reason: "miscounted"})
	require.NoError(t, err)
	assert.Equal(t, journal.Correction{Seq: entries[0].Seq, To: journal.Addition{Titrant: "acid", Drops: 7, ML: 0.35}, Reason: "miscounted"}, c, "7, not 6")
	c, err = propose.Correction(b.keep.State, journal.Correction{To: journal.Addition{Titrant: "base"}})
	require.NoError(t, err)
	assert.Equal(t, journal.Addition{Titrant: "base", Drops: 2, ML: 0.1}, c.To, "the other titrant, the same count")
	_, err = propose.Correction(b.keep.State, journal.Correction{To: journal.Addition{Titrant: "bleach"}})
	require.ErrorIs(t, err, given.ErrNoTitrant)
	_, err = propose.Correction(b.keep.State, journal.Correction{Seq: 999, To: journal.Addition{Drops: 1}})
	require.ErrorIs(t, err, run.ErrNothing)
}

// A run whose latest addition was keyed as 6 and corrected to 7 believes what
// one believes in which 7 were keyed.
func TestCorrectedIsAsIfKeyedRight(t *testing.T) {
	right, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 7)
	wrong, _ := record(t, filepath.Join(t.TempDir(), "run.jsonl"), 7)
	for _, b := range []*bench{right, wrong} {
		b.seconds(60)
	}
	right.add("acid", 7)
	a, err := wrong.keep.State.Addition("acid", 6, 0)
	require.NoError(t, err)
	require.NoError(t, wrong.keep.Take(journal.Event{T: 60, Kind: journal.Added, Added: &a}))
	require.NoError(t, wrong.sim.Dispense("acid", 7, 0)) // what really fell
	c, err := propose.Correction(wrong.keep.State, journal.Correction{To: journal.Addition{Drops: 7}, Reason: "that was 7, not 6"})
	require.NoError(t, err)
	require.NoError(t, wrong.keep.Take(journal.Event{T: 60, Kind: journal.Corrected, Correct: &c}))
	x, y := right.seconds(80), wrong.seconds(80)
	assert.Equal(t, x.Charge, y.Charge)
	assert.InDelta(t, x.Advice.Aim, y.Advice.Aim, 1e-6)
	assert.InDelta(t, x.Settling.End, y.Settling.End, x.Settling.SD/2, "what was expected at first still shows a little")
	assert.True(t, y.Entries[0].Changed)
}

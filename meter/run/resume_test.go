package run_test

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/keep"
)

// What is believed after a run is taken up again is what was believed before,
// but for the reading, which starts anew.
func TestResumeBringsBeliefBack(t *testing.T) {
	path := filepath.Join(t.TempDir(), "run.jsonl")
	b, w := record(t, path, 3)
	b.seconds(60)
	b.add("acid", 30)
	b.seconds(60)
	b.add("weak acid", 5)
	before := b.seconds(60)
	require.NoError(t, w.Close())

	r, err := keep.Resume(path, wall(180+42*60))
	require.NoError(t, err)
	defer r.Writer.Close()
	assert.False(t, r.Repair.Needed())
	assert.InDelta(t, 42*60, r.Away, 1e-6, "42 min without readings")
	assert.Equal(t, "nobody", r.Keeper.State.Start.Operator)
	after := r.Keeper.Look(180 + 42*60)
	assert.Equal(t, before.Entries, after.Entries)
	assert.Equal(t, before.Charge, after.Charge)
	assert.Equal(t, before.Target, after.Target)
	assert.Equal(t, "wait", after.Advice.Do.String(), "nothing is advised on a reading from before the gap")
	last, _ := lastOf(t, path, journal.Gap)
	assert.InDelta(t, 42*60, last.Gap.Seconds, 1e-6)

	b.keep, b.sec = r.Keeper, 180+42*60
	v := b.seconds(60)
	assert.InDelta(t, before.Advice.Aim, v.Advice.Aim, 0.02)
	assert.InDelta(t, before.Settling.End, v.Settling.End, 0.02)
	report, err := journal.CheckFile(path)
	require.NoError(t, err)
	assert.True(t, report.Sound(), "%v", report.Faults)
}

// lastOf is the last event of a kind in a journal.
func lastOf(t *testing.T, path string, kind journal.Kind) (last journal.Event, n int) {
	t.Helper()
	_, err := journal.ScanFile(path, func(e journal.Event) error {
		if e.Kind == kind {
			last, n = e, n+1
		}
		return nil
	})
	require.NoError(t, err)
	return last, n
}

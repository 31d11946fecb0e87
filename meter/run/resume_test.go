package run_test

import (
	"os"
	"path/filepath"
	"testing"
	"time"

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

func TestResumeTornAndBackwards(t *testing.T) {
	path := filepath.Join(t.TempDir(), "run.jsonl")
	b, w := record(t, path, 4)
	b.seconds(10)
	b.add("acid", 3)
	require.NoError(t, w.Close())
	f, err := os.OpenFile(path, os.O_APPEND|os.O_WRONLY, 0)
	require.NoError(t, err)
	_, err = f.WriteString(`{"seq":14,"at":`)
	require.NoError(t, err)
	require.NoError(t, f.Close())

	r, err := keep.Resume(path, dawn.Add(-time.Hour)) // the clock was set back
	require.NoError(t, err)
	defer r.Writer.Close()
	assert.True(t, r.Repair.Needed(), "the torn tail is named")
	assert.Zero(t, r.Away)
	assert.Equal(t, 10.0, r.Keeper.State.T)
	assert.Len(t, r.Keeper.State.Additions(), 1)

	_, err = keep.Resume(path, dawn)
	assert.ErrorIs(t, err, journal.ErrLocked, "one writer at a time")
}

func TestHeldTimeStands(t *testing.T) {
	path := filepath.Join(t.TempDir(), "run.jsonl")
	b, w := record(t, path, 5)
	b.seconds(10)
	require.NoError(t, w.Close())
	r, err := keep.ResumeHeld(path, wall(1000))
	require.NoError(t, err)
	defer r.Writer.Close()
	assert.Equal(t, 10.0, r.Keeper.State.T)
	assert.InDelta(t, 990, r.Away, 1e-6)
}

func TestListNamesWhatIsUnfinished(t *testing.T) {
	folder := t.TempDir()
	none, err := keep.List(filepath.Join(folder, "not made yet"))
	require.NoError(t, err)
	assert.Empty(t, none)

	open, _ := record(t, filepath.Join(folder, "a.jsonl"), 1)
	open.seconds(20)
	done, _ := record(t, filepath.Join(folder, "b.jsonl"), 2)
	done.seconds(5)
	require.NoError(t, done.keep.Take(journal.Event{T: 5, Kind: journal.Ended, End: &journal.End{Outcome: "in tolerance"}}))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "c.jsonl"), []byte("not a run\n"), 0o600))

	all, err := keep.List(folder)
	require.NoError(t, err)
	require.Len(t, all, 3)
	assert.Error(t, all[2].Err, "what is no journal is listed with its error")
	left, err := keep.Unfinished(folder)
	require.NoError(t, err)
	require.Len(t, left, 1)
	assert.Equal(t, "Tris, invented", left[0].Name)
	assert.Equal(t, 20.0, left[0].Seconds)
	assert.Equal(t, "nobody", left[0].Operator)
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

package keep_test

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/run/keep"
)

var dawn = time.Date(2031, 5, 4, 6, 0, 0, 0, time.UTC)

func wall(t float64) time.Time { return dawn.Add(time.Duration(t * float64(time.Second))) }

// recorded is a run of the demo plan in a journal, with a reading in each second until last.
func recorded(t *testing.T, path string, last int) (*keep.Keeper, *journal.Writer) {
	t.Helper()
	p, err := planfile.Decode("demo", planfile.Demo)
	require.NoError(t, err)
	start, err := keep.Begin(p, dawn, keep.Origin{Program: "test", Operator: "nobody"})
	require.NoError(t, err)
	w, err := journal.Create(path, start)
	require.NoError(t, err)
	t.Cleanup(func() { w.Close() })
	k, err := keep.NewKeeper(start, w, wall)
	require.NoError(t, err)
	ph := 6.21
	for s := range last {
		require.NoError(t, k.Take(journal.Event{T: float64(s + 1), Kind: journal.Read, Reading: &journal.Reading{PH: &ph, Decimals: 2}}))
	}
	return k, w
}

// A journal with a torn end is resumed without it, also by a clock that was set back, and by
// one writer at a time.
func TestResumeTornAndBackwards(t *testing.T) {
	path := filepath.Join(t.TempDir(), "run.jsonl")
	k, w := recorded(t, path, 10)
	a, err := k.State.Addition(k.State.Setup.Stocks[0].Name, 3, 0)
	require.NoError(t, err)
	require.NoError(t, k.Take(journal.Event{T: 10, Kind: journal.Added, Added: &a}))
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
	_, w := recorded(t, path, 10)
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

	recorded(t, filepath.Join(folder, "a.jsonl"), 20)
	done, _ := recorded(t, filepath.Join(folder, "b.jsonl"), 5)
	require.NoError(t, done.Take(journal.Event{T: 5, Kind: journal.Ended, End: &journal.End{Outcome: "in tolerance"}}))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "c.jsonl"), []byte("not a run\n"), 0o600))

	all, err := keep.List(folder)
	require.NoError(t, err)
	require.Len(t, all, 3)
	assert.Error(t, all[2].Err, "what is no journal is listed with its error")
	left, err := keep.Unfinished(folder)
	require.NoError(t, err)
	require.Len(t, left, 1)
	assert.Equal(t, done.State.Setup.Plan.Name, left[0].Name)
	assert.Equal(t, 20.0, left[0].Seconds)
	assert.Equal(t, "nobody", left[0].Operator)
}

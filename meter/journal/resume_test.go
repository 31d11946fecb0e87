package journal_test

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
)

func TestCreateMakesFoldersAndRefusesAFileThatExists(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a", "b", "run.jsonl")
	first := start()
	first.Start.Format = 0
	w, err := journal.Create(path, first)
	require.NoError(t, err)
	assert.Zero(t, first.Start.Format, "the caller's event is left alone")
	assert.Equal(t, path, w.Path())
	require.NoError(t, w.Close())

	before, err := os.ReadFile(path)
	require.NoError(t, err)
	_, err = journal.Create(path, start())
	require.ErrorIs(t, err, fs.ErrExist)
	after, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, before, after)
}

func TestCreateLeavesNothingBehindOnError(t *testing.T) {
	path := filepath.Join(t.TempDir(), "run.jsonl")
	_, err := journal.Create(path, added(1, 1))
	require.ErrorIs(t, err, journal.ErrEvent)
	require.NoFileExists(t, path)
}

func TestResumeGoesOn(t *testing.T) {
	path := onFile(t, write(t, oneOfEach()))
	n := 0
	w, repair, err := journal.Resume(path, func(journal.Event) error { n++; return nil })
	require.NoError(t, err)
	assert.Equal(t, 14, n)
	assert.False(t, repair.Needed())
	assert.Equal(t, "nothing to repair", repair.String())
	seq, _ := w.Last()
	assert.EqualValues(t, 14, seq)
	early := added(2500, 3)
	require.ErrorIs(t, w.Append(&early), journal.ErrBackwards)
	next := added(2600, 3)
	require.NoError(t, w.Append(&next))
	assert.EqualValues(t, 15, next.Seq)
	require.NoError(t, w.Close())
	mustBeSound(t, path)
}

// mustBeSound ends tests: the checker finds nothing.
func mustBeSound(t testing.TB, path string) {
	t.Helper()
	tail, err := journal.ScanFile(path, func(journal.Event) error { return nil })
	require.NoError(t, err)
	require.False(t, tail.Torn(), tail.Why)
}

func TestResumeSetsATornTailAside(t *testing.T) {
	whole := write(t, oneOfEach()[:3])
	torn := `{"seq":4,"at":"2026-11`
	path := onFile(t, append(append([]byte{}, whole...), torn...))
	require.NoError(t, os.WriteFile(path+".torn-1", []byte("an older one"), 0o644))

	w, repair, err := journal.Resume(path, nil)
	require.NoError(t, err)
	require.True(t, repair.Needed())
	assert.Equal(t, path+".torn-2", repair.File)
	assert.EqualValues(t, 4, repair.Line)
	assert.EqualValues(t, len(whole), repair.Offset)
	assert.EqualValues(t, len(torn), repair.Bytes)
	assert.Contains(t, repair.String(), repair.File)
	aside, err := os.ReadFile(repair.File)
	require.NoError(t, err)
	assert.Equal(t, torn, string(aside))

	next := added(10, 1)
	require.NoError(t, w.Append(&next))
	require.NoError(t, w.Close())
	mustBeSound(t, path)
}

func TestResumeRefusesDamageBeforeTheEnd(t *testing.T) {
	data := write(t, oneOfEach())
	data[len(data)/2] ^= 1
	path := onFile(t, data)
	n := int64(0)
	_, _, err := journal.Resume(path, func(journal.Event) error { n++; return nil })
	var damage *journal.DamageError
	require.ErrorAs(t, err, &damage)
	assert.Equal(t, path, damage.Path)
	assert.Equal(t, n+1, damage.Line)
	assert.ErrorContains(t, err, "copy its first")
	after, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, data, after, "it is not touched")

	// What the message says to try does work.
	require.NoError(t, os.WriteFile(path, data[:damage.Offset], 0o644))
	w, repair, err := journal.Resume(path, nil)
	require.NoError(t, err)
	assert.False(t, repair.Needed())
	require.NoError(t, w.Close())
}

func TestResumeRefusals(t *testing.T) {
	v9 := []byte(`{"seq":1,"at":"2026-11-25T14:15:03+01:00","t":0,"kind":"start","start":{"format":9,"program":"x","plan":{}},"check":"other"}` + "\n")
	for name, tc := range map[string]struct {
		data []byte
		want error
	}{
		"empty":           {nil, journal.ErrStart},
		"torn start":      {write(t, oneOfEach()[:1])[:40], journal.ErrStart},
		"not a journal":   {[]byte("t_s,ph\n1,7\n"), journal.ErrStart},
		"unknown version": {v9, journal.ErrFormat},
	} {
		t.Run(name, func(t *testing.T) {
			path := onFile(t, tc.data)
			_, _, err := journal.Resume(path, nil)
			require.ErrorIs(t, err, tc.want)
			require.ErrorContains(t, err, path)
		})
	}
	_, _, err := journal.Resume(filepath.Join(t.TempDir(), "none"), nil)
	require.ErrorIs(t, err, fs.ErrNotExist)
}

func TestOneWriterAtATime(t *testing.T) {
	path := filepath.Join(t.TempDir(), "run.jsonl")
	w, err := journal.Create(path, start())
	require.NoError(t, err)
	_, _, err = journal.Resume(path, nil)
	require.ErrorIs(t, err, journal.ErrLocked)
	var locked *journal.LockedError
	require.ErrorAs(t, err, &locked)
	assert.Equal(t, path, locked.Path)
	mustBeSound(t, path) // reading is always possible
	assert.True(t, journal.Busy(path))

	require.NoError(t, w.Close())
	assert.False(t, journal.Busy(path))
	assert.False(t, journal.Busy(path+"x"))
	w, _, err = journal.Resume(path, nil)
	require.NoError(t, err)
	require.NoError(t, w.Close())
}

func TestCallbackErrorEndsTheScan(t *testing.T) {
	stop := errors.New("enough")
	path := onFile(t, write(t, oneOfEach()))
	n := 0
	_, err := journal.ScanFile(path, func(journal.Event) error {
		if n++; n == 3 {
			return stop
		}
		return nil
	})
	require.Equal(t, stop, err)
	assert.Equal(t, 3, n)
	_, _, err = journal.Resume(path, func(journal.Event) error { return stop })
	require.Equal(t, stop, err)
}

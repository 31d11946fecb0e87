package journal_test

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"

	"example.org/halfdrop/meter/journal"
)

// mount makes a file system in memory of the given size, or skips loudly.
func mount(t *testing.T, options string, flags uintptr) string {
	t.Helper()
	dir := t.TempDir()
	if err := unix.Mount("tmpfs", dir, "tmpfs", flags, options); err != nil {
		t.Skipf("NOT RUN: the journal was not tried on a disk that is full or may not be written, for no small tmpfs can be mounted here (it needs root): %v", err)
	}
	t.Cleanup(func() { unix.Unmount(dir, unix.MNT_DETACH) })
	return dir
}

// A real disk that is really full, with room made again, three times over.
func TestRealDiskFull(t *testing.T) {
	dir := mount(t, "size=64k", 0)
	ballast := func(n int) string { return filepath.Join(dir, fmt.Sprint("ballast-", n)) }
	for n := range 3 {
		require.NoError(t, os.WriteFile(ballast(n), make([]byte, 8<<10), 0o644))
	}
	path := filepath.Join(dir, "run.jsonl")
	w, err := journal.Create(path, start())
	require.NoError(t, err)
	acknowledged := int64(1)
	for round := range 3 {
		for {
			e := added(float64(acknowledged), 2)
			if err = w.Append(&e); err != nil {
				break
			}
			acknowledged = e.Seq
		}
		require.ErrorIs(t, err, unix.ENOSPC, "round %d", round)
		require.NotErrorIs(t, err, journal.ErrBroken)
		require.Equal(t, "journal: "+path+": write: no space left on device (free some space on the disk, then try again)", err.Error())
		tail, err := journal.ScanFile(path, func(journal.Event) error { return nil })
		require.NoError(t, err)
		require.Equal(t, acknowledged, tail.Events)
		require.False(t, tail.Torn())

		require.NoError(t, os.Remove(ballast(round)))
		e := added(float64(acknowledged), 2)
		require.NoError(t, w.Append(&e), "there is room again")
		acknowledged = e.Seq
	}
	require.NoError(t, w.Close())
	mustBeSound(t, path)
}

// No room for the torn copy: nothing is cut off.
func TestResumeOnAFullDisk(t *testing.T) {
	dir := mount(t, "size=32k", 0)
	path := filepath.Join(dir, "run.jsonl")
	data := append(write(t, oneOfEach()), make([]byte, 9000)...)
	require.NoError(t, os.WriteFile(path, data, 0o644))
	for { // fill what is left, page by page
		f, err := os.OpenFile(filepath.Join(dir, "ballast"), os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o644)
		require.NoError(t, err)
		_, err = f.Write(make([]byte, 4096))
		f.Close()
		if err != nil {
			break
		}
	}
	_, _, err := journal.Resume(path, nil)
	require.ErrorIs(t, err, unix.ENOSPC)
	require.ErrorContains(t, err, "free some space")
	after, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, data, after)
	require.NoFileExists(t, path+".torn-1", "no half copy is left")
}

func TestReadOnlyPlace(t *testing.T) {
	dir := mount(t, "size=64k", 0)
	path := filepath.Join(dir, "run.jsonl")
	require.NoError(t, os.WriteFile(path, write(t, oneOfEach()), 0o644))
	require.NoError(t, unix.Mount("tmpfs", dir, "tmpfs", unix.MS_REMOUNT|unix.MS_RDONLY, ""))
	_, err := journal.Create(filepath.Join(dir, "new.jsonl"), start())
	require.ErrorIs(t, err, unix.EROFS)
	require.ErrorContains(t, err, "choose a place you may write to")
	_, err = journal.Create(filepath.Join(dir, "a", "new.jsonl"), start())
	require.ErrorIs(t, err, unix.EROFS)
	_, _, err = journal.Resume(path, nil)
	require.ErrorIs(t, err, unix.EROFS)
	mustBeSound(t, path) // reading and checking need no leave to write
	r, err := journal.CheckFile(path)
	require.NoError(t, err)
	require.True(t, r.Sound())
}

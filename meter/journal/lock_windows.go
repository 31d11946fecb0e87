package journal

import (
	"errors"
	"fmt"
	"os"

	"golang.org/x/sys/windows"
)

// lock takes the file for one writer, at once or not at all. Locks are
// mandatory on Windows, so one byte far beyond any end of the file is locked:
// others can still read all of it.
func lock(f *os.File, path string) error {
	far := &windows.Overlapped{OffsetHigh: 1 << 30}
	err := windows.LockFileEx(windows.Handle(f.Fd()),
		windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0, far)
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) {
		return &LockedError{Path: path}
	}
	if err != nil {
		return fmt.Errorf("journal: lock %s: %w (choose a folder on a local disk)", path, err)
	}
	return nil
}

// noFolderSync reports whether err says that folders cannot be synced here.
func noFolderSync(error) bool { return true }

//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package journal

import (
	"errors"
	"fmt"
	"os"

	"golang.org/x/sys/unix"
)

// lock takes the file for one writer, at once or not at all. The system gives
// it free when the file is closed or the process dies, however it dies.
func lock(f *os.File, path string) error {
	err := unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	if errors.Is(err, unix.EWOULDBLOCK) {
		return &LockedError{Path: path}
	}
	if err != nil {
		return fmt.Errorf("journal: lock %s: %w (choose a folder on a local disk)", path, err)
	}
	return nil
}

// noFolderSync reports whether err says that folders cannot be synced here.
func noFolderSync(err error) bool {
	return errors.Is(err, unix.EINVAL) || errors.Is(err, unix.ENOTSUP)
}

//go:build !(darwin || dragonfly || freebsd || linux || netbsd || openbsd || windows)

package journal

import (
	"errors"
	"fmt"
	"os"
)

// lock refuses: without a lock two programs could write one journal.
func lock(_ *os.File, path string) error {
	return fmt.Errorf("journal: lock %s: %w on this system", path, errors.ErrUnsupported)
}

// noFolderSync reports whether err says that folders cannot be synced here.
func noFolderSync(error) bool { return false }

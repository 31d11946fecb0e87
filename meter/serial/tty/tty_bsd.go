//go:build unix && !linux

package tty

import "golang.org/x/sys/unix"

const (
	get = unix.TIOCGETA
	set = unix.TIOCSETA
)

// Speed is not known on this system: 0.
func Speed(int) int { return 0 }

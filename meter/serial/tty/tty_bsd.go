//go:build unix && !linux

package tty

import "golang.org/x/sys/unix"

const (
	get = unix.TIOCGETA
	set = unix.TIOCSETA
)

//go:build unix && !linux

package serialtest

import "golang.org/x/sys/unix"

const (
	getTermios = unix.TIOCGETA
	setTermios = unix.TIOCSETA
)

func speed(int) int { return 0 }

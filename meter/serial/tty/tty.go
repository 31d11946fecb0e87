//go:build unix

// Package tty sets the two ends of a pseudo-terminal as a serial line is: what stands in
// for a meter, in the simulator and in tests, is behind one.
package tty

import "golang.org/x/sys/unix"

// Silence takes echo and line editing from a terminal, so that what is sent before
// anybody opens the port does not come back.
func Silence(fd int) error {
	t, err := unix.IoctlGetTermios(fd, get)
	if err != nil {
		return err
	}
	t.Iflag &^= unix.ICRNL | unix.INLCR | unix.IGNCR | unix.IXON | unix.ISTRIP
	t.Oflag &^= unix.OPOST
	t.Lflag &^= unix.ECHO | unix.ECHONL | unix.ICANON | unix.ISIG | unix.IEXTEN
	return unix.IoctlSetTermios(fd, set, t)
}

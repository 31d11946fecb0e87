//go:build unix

package serialtest

import "golang.org/x/sys/unix"

// makeRaw takes echo and line editing from a terminal, so that what is sent
// before anybody opens the port does not come back.
func makeRaw(fd int) error {
	t, err := unix.IoctlGetTermios(fd, getTermios)
	if err != nil {
		return err
	}
	t.Iflag &^= unix.ICRNL | unix.INLCR | unix.IGNCR | unix.IXON | unix.ISTRIP
	t.Oflag &^= unix.OPOST
	t.Lflag &^= unix.ECHO | unix.ECHONL | unix.ICANON | unix.ISIG | unix.IEXTEN
	return unix.IoctlSetTermios(fd, setTermios, t)
}

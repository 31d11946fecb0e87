package serialtest

import "golang.org/x/sys/unix"

var speeds = map[uint32]int{
	unix.B300: 300, unix.B600: 600, unix.B1200: 1200, unix.B2400: 2400, unix.B4800: 4800, unix.B9600: 9600,
	unix.B19200: 19200, unix.B38400: 38400, unix.B57600: 57600, unix.B115200: 115200,
}

// speed is the speed to which a terminal is set, baud; 0 when it is not a usual one.
func speed(fd int) int {
	t, err := unix.IoctlGetTermios(fd, unix.TCGETS)
	if err != nil {
		return 0
	}
	return speeds[t.Cflag&unix.CBAUD]
}

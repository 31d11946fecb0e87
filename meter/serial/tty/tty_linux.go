package tty

import "golang.org/x/sys/unix"

const (
	get = unix.TCGETS
	set = unix.TCSETS
)

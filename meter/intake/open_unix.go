//go:build unix

package intake

import "syscall"

// nonblock keeps the opening of a FIFO from waiting for its other end.
const nonblock = syscall.O_NONBLOCK

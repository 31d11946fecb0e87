//go:build linux || darwin

package station

// WriteWait is for the tests of the port.
const WriteWait = writeWait

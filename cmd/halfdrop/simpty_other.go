//go:build !(linux || darwin)

package main

import (
	"errors"
	"fmt"
	"runtime"
)

// openVirtualPort refuses: this system has no pseudo-terminals that a serial
// port library opens.
func openVirtualPort(string) (virtualPort, error) {
	err := fmt.Errorf("sim: a virtual port on %s: %w", runtime.GOOS, errors.ErrUnsupported)
	return nil, withHint(err, "it works on Linux and macOS; halfdrop titrate --sim has the same bench without a port")
}

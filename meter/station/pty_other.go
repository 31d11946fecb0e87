//go:build !(linux || darwin)

package station

import (
	"errors"
	"fmt"
	"runtime"

	"example.org/halfdrop/meter/remedy"
)

// OpenPort refuses: this system has no pseudo-terminals that a serial
// port library opens.
func OpenPort(string) (Port, error) {
	err := fmt.Errorf("sim: a virtual port on %s: %w", runtime.GOOS, errors.ErrUnsupported)
	return nil, remedy.With(err, "it works on Linux and macOS; halfdrop titrate --sim has the same bench without a port")
}

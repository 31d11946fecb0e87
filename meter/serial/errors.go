package serial

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"syscall"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/guard"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/remedy"
	bug "go.bug.st/serial"
)

// OpenError says why a port could not be opened, and what to try.
type OpenError struct {
	Name   string // of the port
	Kind   error  // meter.ErrNoPort, meter.ErrBusy, meter.ErrPermission, or the cause itself
	Remedy string // words for a person
	Cause  error  // as the system gave it
}

// Error names the port and the reason, not the remedy.
func (e *OpenError) Error() string { return fmt.Sprintf("serial: %s: %v", e.Name, e.Kind) }

// Unwrap gives the kind and the cause.
func (e *OpenError) Unwrap() []error { return []error{e.Kind, e.Cause} }

// Hint is what to try about an error of this package, or "".
func Hint(err error) string {
	var e *OpenError
	if errors.As(err, &e) {
		return e.Remedy
	}
	var f *FindError
	if errors.As(err, &f) {
		return f.Remedy()
	}
	return ""
}

// LineHint is what to try about a line that is no reading, or "" when nothing
// need be: the first line after opening, an echo.
func LineHint(err error) string {
	if err == nil || errors.Is(err, errBegun) || errors.Is(err, errEcho) || errors.Is(err, errBroken) {
		return ""
	}
	return guard.Remedy(err)
}

// openError sorts what the system said when a port was opened.
func openError(name string, err error) *OpenError {
	e := &OpenError{Name: name, Kind: err, Cause: err}
	switch {
	case is(err, bug.PermissionDenied, syscall.EACCES, syscall.EPERM):
		e.Kind, e.Remedy = meter.ErrPermission, permissionRemedy(name)
	case is(err, bug.PortBusy, syscall.EBUSY, syscall.EAGAIN):
		e.Kind = meter.ErrBusy
		e.Remedy = "close the other program that uses the port: a terminal program, the software of the meter, or another halfdrop"
	case is(err, bug.PortNotFound, syscall.ENOENT, syscall.ENXIO, syscall.ENODEV, syscall.ENOTDIR):
		e.Kind, e.Remedy = meter.ErrNoPort, portsRemedy()
	case is(err, bug.InvalidSerialPort, syscall.ENOTTY, syscall.EISDIR, syscall.EIO):
		e.Kind = fmt.Errorf("%w: it is not a serial port", meter.ErrNoPort)
		e.Remedy = portsRemedy()
	case is(err, bug.InvalidSpeed), is(err, bug.InvalidParity), is(err, bug.InvalidDataBits), is(err, bug.InvalidStopBits):
		e.Remedy = "this adapter cannot do that speed or character frame: set another one on the meter, such as 9600 8N1"
	}
	return e
}

// is reports whether err is one of the system's numbers or has the library's code.
func is(err error, code bug.PortErrorCode, numbers ...syscall.Errno) bool {
	// The order matters: the library wraps the number of the system in a code
	// of its own, and the code says more.
	var p *bug.PortError
	if errors.As(err, &p) {
		return p.Code() == code
	}
	return slices.ContainsFunc(numbers, func(n syscall.Errno) bool { return errors.Is(err, n) })
}

// portsRemedy names the ports that there are.
func portsRemedy() string {
	ports, err := List()
	if err != nil || len(ports) == 0 {
		return "no serial port was found: plug the adapter in, and see `halfdrop ports`"
	}
	return "ports found: " + strings.Join(phrase.Each(ports, func(p Info) string { return p.Name }), ", ")
}

// Hinted adds what the serial package knows to try.
func Hinted(err error) error {
	if h := Hint(err); h != "" {
		return remedy.With(err, h)
	}
	return err
}

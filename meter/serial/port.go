package serial

import (
	"cmp"
	"fmt"
	"io"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"

	bug "go.bug.st/serial"
)

// readTimeout is how long one read waits; a closed port ends it at once.
const readTimeout = 200 * time.Millisecond

// port is what a Source needs of an open port. Read returns 0, nil after
// readTimeout without a byte. Close may be called from another goroutine, more
// than once, and makes a waiting Read return.
type port interface {
	io.ReadWriteCloser
	setMode(Config) error
	flushInput() error
	flushOutput() error
	present() bool // the name still leads to this device
}

// openPort opens a port of the system, a connection over the network or standard
// input, by its name; tests put another one in its place.
func openPort(c Config) (port, error) {
	switch {
	case c.Name == Stdin:
		return openStdin(c)
	case networked(c.Name):
		return openTCP(c)
	}
	return openSerial(c)
}

// openSerial opens a serial port.
func openSerial(c Config) (port, error) {
	// The claim keeps other programs out that ask for one as well, also those
	// of the administrator, whom the exclusive mode of the library does not stop.
	claim, err := claimPort(c.Name)
	if err != nil {
		return nil, openError(c.Name, err)
	}
	p, err := bug.Open(c.Name, c.library())
	if err == nil {
		err = p.SetReadTimeout(readTimeout)
	}
	if err != nil {
		claim.release()
		return nil, openError(c.Name, err)
	}
	// On macOS opening may leave DTR low, and some meters wait for it. A
	// pseudo-terminal has none: the error means nothing.
	_ = p.SetDTR(true)
	return &systemPort{Port: p, name: c.Name, claim: claim}, nil
}

type systemPort struct {
	bug.Port
	name  string
	claim claim
	once  sync.Once
	err   error
}

func (p *systemPort) setMode(c Config) error { return p.SetMode(c.library()) }
func (p *systemPort) flushInput() error      { return p.ResetInputBuffer() }
func (p *systemPort) flushOutput() error     { return p.ResetOutputBuffer() }
func (p *systemPort) present() bool          { return p.claim.holds(p.name) }

// Close closes once and lets later callers wait for it.
func (p *systemPort) Close() error {
	p.once.Do(func() {
		p.err = p.Port.Close()
		p.claim.release()
	})
	return p.err
}

// Info is what the system knows of a port.
type Info struct {
	Name    string `json:"name"` // to open it by
	USB     bool   `json:"usb"`
	VID     string `json:"vid,omitempty"`     // USB vendor, four hexadecimal digits; "" when not known
	PID     string `json:"pid,omitempty"`     // USB product
	Serial  string `json:"serial,omitempty"`  // USB serial number of the adapter; many have none
	Product string `json:"product,omitempty"` // what the adapter calls itself
}

// String is the name, and the USB identity when there is one.
func (i Info) String() string {
	s := i.Name
	if i.USB {
		s += fmt.Sprintf("  USB %s:%s", i.VID, i.PID)
	}
	for _, more := range []string{i.Product, i.Serial} {
		if more != "" {
			s += "  " + more
		}
	}
	return s
}

// same reports whether two ports are the same adapter, whatever their names.
func (i Info) same(o Info) bool {
	return i.USB && o.USB && i.VID == o.VID && i.PID == o.PID && i.Serial == o.Serial
}

// List is the ports that the system knows, by name. Pseudo-terminals are not
// among them. Details of USB adapters are missing on macOS when the program was
// built without cgo.
func List() ([]Info, error) {
	names, err := bug.GetPortsList()
	if err != nil {
		return nil, fmt.Errorf("serial: list of ports: %w", err)
	}
	known := details()
	var out []Info
	for _, name := range names {
		// On macOS /dev/tty.* of a port waits for a carrier; /dev/cu.* is the
		// same port without the wait.
		if runtime.GOOS == "darwin" && strings.HasPrefix(name, "/dev/tty.") {
			continue
		}
		info := known[name]
		info.Name = name
		out = append(out, info)
	}
	slices.SortFunc(out, func(a, b Info) int { return cmp.Compare(a.Name, b.Name) })
	return out, nil
}

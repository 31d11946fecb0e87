package serial

import (
	"fmt"
	"runtime"
	"sort"
	"strings"

	bug "go.bug.st/serial"
)

// Info is what the system knows of a port.
type Info struct {
	Name    string // to open it by
	USB     bool
	VID     string // USB vendor, four hexadecimal digits; "" when not known
	PID     string // USB product
	Serial  string // USB serial number of the adapter; many have none
	Product string // what the adapter calls itself
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
	sort.Slice(out, func(a, b int) bool { return out[a].Name < out[b].Name })
	return out, nil
}

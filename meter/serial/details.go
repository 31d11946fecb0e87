//go:build !darwin || cgo

package serial

import "go.bug.st/serial/enumerator"

// details is what the system knows of the USB adapters, by the name of the port.
func details() map[string]Info {
	out := map[string]Info{}
	ports, err := enumerator.GetDetailedPortsList()
	if err != nil {
		return out // a list without details is still a list
	}
	for _, p := range ports {
		out[p.Name] = Info{Name: p.Name, USB: p.IsUSB, VID: p.VID, PID: p.PID, Serial: p.SerialNumber, Product: p.Product}
	}
	return out
}

package main

import (
	"io"

	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/meter/textfile"
)

// What the tables of the smaller commands are in JSON. Fields may be added; the
// meaning of one is never changed.

// portJSON is a serial port.
type portJSON struct {
	Name    string `json:"name"`
	USB     bool   `json:"usb"`
	VID     string `json:"vid,omitempty"`
	PID     string `json:"pid,omitempty"`
	Serial  string `json:"serial,omitempty"`
	Product string `json:"product,omitempty"`
}

func writePortsJSON(out io.Writer, ports []serial.Info) error {
	list := []portJSON{}
	for _, p := range ports {
		list = append(list, portJSON(p))
	}
	return textfile.JSON(out, list)
}

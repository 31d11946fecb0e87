package main

import (
	"io"

	"example.org/halfdrop/meter/journal"
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

// checkedJSON is what was found in one journal.
type checkedJSON struct {
	File      string        `json:"file"`
	Sound     bool          `json:"sound"`
	Events    int64         `json:"events"`
	Additions int64         `json:"additions"`
	Withdrawn int64         `json:"withdrawn"`
	Seconds   float64       `json:"seconds"`
	Ended     bool          `json:"ended"`
	Sum       string        `json:"sum"` // of the last line
	Faults    []findingJSON `json:"faults"`
	Notes     []findingJSON `json:"notes"`
}

type findingJSON struct {
	Line int64  `json:"line"`
	Byte int64  `json:"byte"` // that the line begins on
	What string `json:"what"`
}

func foundIn(list []journal.Finding) []findingJSON {
	out := []findingJSON{}
	for _, f := range list {
		out = append(out, findingJSON{f.Line, f.Offset, f.Text})
	}
	return out
}

func (v verdict) json() checkedJSON {
	return checkedJSON{File: v.name, Sound: v.Sound(), Events: v.Events, Additions: v.Additions, Withdrawn: v.Withdrawn,
		Seconds: v.Seconds, Ended: v.Ended, Sum: v.Sum, Faults: foundIn(v.Faults), Notes: foundIn(v.Notes)}
}

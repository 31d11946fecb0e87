package main

import (
	"fmt"
	"strings"
	"time"

	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/tui/home"
	"github.com/spf13/cobra"
)

// atHome shows the tasks, asks what they need and does the one chosen. It is
// what the program does when nothing is asked of it on a terminal.
func atHome(cmd *cobra.Command) error {
	known := &home.Known{Meters: knownMeters, Ports: portsAtHome, Look: face,
		Electrodes: func() []shelf.CalibratedElectrode { return shelf.CalibratedElectrodes(time.Now()) }}
	args, err := known.Ask(cmd.Context())
	if err != nil || args == nil {
		return err
	}
	fmt.Fprintf(cmd.ErrOrStderr(), "halfdrop: this is halfdrop %s\n", strings.Join(phrase.Quote(args), " "))
	looks := face
	root := newRootCommand()
	face = looks // the task looks as its menu did
	root.SetArgs(args)
	root.SetErr(cmd.ErrOrStderr())
	return root.ExecuteContext(cmd.Context())
}

// portsAtHome are the serial ports with what the system tells of them.
func portsAtHome() ([]home.Port, error) {
	list, err := serial.List()
	return phrase.Each(list, func(p serial.Info) home.Port { return home.Port{Name: p.Name, About: aboutPort(p)} }), err
}

func aboutPort(p serial.Info) string {
	switch {
	case p.Product != "":
		return p.Product + "."
	case p.USB:
		return "A USB adapter, " + p.VID + ":" + p.PID + "."
	}
	return "A serial port of this machine; the system knows nothing more about it."
}

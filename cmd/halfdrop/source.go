package main

import (
	"io"
	"os"
	"strings"

	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/tui"
)

// stdinSource is what a journal calls readings that came on standard input.
const stdinSource = "standard input"

// meterSuffix stands before the name of a learned meter in the source of a journal.
const meterSuffix = ", meter "

// choose sets the port of a learned meter where none is named and no simulator
// is wanted.
func (f *lineFlags) choose(sim bool, port *string) (err error) {
	if !sim {
		*port, err = f.at(*port)
	}
	return err
}

// sourceName is what the journal calls the source of the readings: with the
// name of the meter the run can be gone on with.
func (f *lineFlags) sourceName(port string) string {
	if f.meter == "" {
		return port
	}
	return port + meterSuffix + f.meter
}

// again takes the meter from the source of a journal, unless another one is
// named, and is the rest of it.
func (f *lineFlags) again(source string) string {
	port, name, ok := strings.Cut(source, meterSuffix)
	if ok && f.meter == "" && f.dialect == "" {
		f.meter = name
	}
	return port
}

// keys is where a person types: standard input, or the terminal itself when the
// lines of the meter come on standard input. Without a terminal nobody types,
// and the end of the lines is the end of what is typed.
func keys(port string, in io.Reader) io.Reader {
	if port != serial.Stdin {
		return in
	}
	if tty, err := os.Open("/dev/tty"); err == nil {
		return tty
	}
	return nobody{}
}

// nobody types nothing until the lines of the meter have ended.
type nobody struct{}

func (nobody) Read([]byte) (int, error) {
	<-serial.InputEnded()
	return 0, io.EOF
}

// looks are how the screen looks, with the keys from the terminal when standard
// input is the meter.
func looks(port string) tui.Options {
	o := face
	if port == serial.Stdin {
		if tty, err := os.Open("/dev/tty"); err == nil {
			o.In = tty
		}
	}
	return o
}

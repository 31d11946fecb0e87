// Package link is which meter a command line means and how it is spoken with: flags,
// dialects and learned meters made into a port, a meter that is looked for, the ports of
// the machine, and what comes from one of them.
package link

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/meter/textfile"
)

// Asked is what a command line says of a meter.
type Asked struct {
	Mode    string // speed and character frame, such as "9600 8N1"
	Query   string // what asks for a reading; \r and \n stand for CR and LF
	Dialect string // file that describes the lines
	Meter   string // name of a learned meter
	Channel string // whose electrode is in the beaker

	Learned shelf.Meters // where those that were learned are kept
}

// meterSuffix stands before the name of a learned meter in the source of a journal.
const meterSuffix = ", meter "

// At is the port to open: the one named, or else that of the meter named, as it
// was when it was learned.
func (f *Asked) At(port string) (string, error) {
	if port != "" || f.Meter == "" {
		return port, nil
	}
	var c serial.Config
	if err := f.Learned.Read(f.Meter, &c); err != nil {
		return "", err
	}
	return c.Name, nil
}

// Config is what the flags say about the port of a name. Flags win over the file.
func (f *Asked) Config(name string) (serial.Config, error) {
	c := serial.Config{Name: name}
	switch {
	case f.Meter != "" && f.Dialect != "":
		return c, remedy.Call(errors.New("--meter and --dialect exclude each other"), "leave one out")
	case f.Meter != "":
		if err := f.Learned.Read(f.Meter, &c); err != nil {
			return c, err
		}
	case f.Dialect != "":
		data, err := textfile.Read(f.Dialect, textfile.MaxDialect)
		if err != nil {
			return c, err
		}
		if err := serial.ParseDialect(f.Dialect, data, &c); err != nil {
			return c, remedy.With(err, "the keys are "+strings.Join(serial.DialectKeys, ", "))
		}
	}
	if f.Channel != "" {
		c.Channel = f.Channel
	}
	if f.Mode != "" {
		if err := c.SetMode(f.Mode); err != nil {
			return c, remedy.Call(err, "see halfdrop ports --help")
		}
	}
	if f.Query != "" {
		c.Query = strings.NewReplacer(`\r`, "\r", `\n`, "\n").Replace(f.Query)
	}
	return c, nil
}

// found sets what the flags say about lines in the config of a port that was
// looked for.
func (f *Asked) found(c serial.Config) (serial.Config, error) {
	said, err := f.Config(c.Name)
	c.Dialect, c.Channel = said.Dialect, said.Channel
	if said.Query != "" {
		c.Query, c.Interval = said.Query, said.Interval
	}
	return c, err
}

// Choose sets the port of a learned meter where none is named and no simulator
// is wanted.
func (f *Asked) Choose(sim bool, port *string) (err error) {
	if !sim {
		*port, err = f.At(*port)
	}
	return err
}

// SourceName is what the journal calls the source of the readings: with the
// name of the meter the run can be gone on with.
func (f *Asked) SourceName(port string) string {
	if f.Meter == "" {
		return port
	}
	return port + meterSuffix + f.Meter
}

// Again takes the meter from the source of a journal, unless another one is
// named, and is the rest of it.
func (f *Asked) Again(source string) string {
	port, name, ok := strings.Cut(source, meterSuffix)
	if ok && f.Meter == "" && f.Dialect == "" {
		f.Meter = name
	}
	return port
}

// findMeter looks for a meter on all ports and says what it does. One that was
// learned need not be understood by the words of its lines.
func (f *Asked) findMeter(ctx context.Context, talk io.Writer) (serial.Config, error) {
	found, err := serial.Find(ctx, nil, f.Meter != "" || f.Dialect != "" || f.Channel != "", func(s string) { fmt.Fprintln(talk, "halfdrop: "+s) })
	if err != nil {
		return serial.Config{}, serial.Hinted(err)
	}
	return f.found(found.Config)
}

// Open opens the port of a name, after looking for the meter where that is auto.
func (f *Asked) Open(ctx context.Context, talk io.Writer, port string) (*serial.Source, error) {
	c, err := f.conf(ctx, talk, port)
	if err != nil {
		return nil, err
	}
	return opened(c)
}

// conf is what is known of the port of a name, and where it is looked for, of the one
// that was found.
func (f *Asked) conf(ctx context.Context, talk io.Writer, port string) (serial.Config, error) {
	c, err := f.Config(port)
	if err == nil && port == "auto" {
		c, err = f.findMeter(ctx, talk)
	}
	return c, err
}

func opened(c serial.Config) (*serial.Source, error) {
	s, err := serial.Open(c)
	return s, serial.Hinted(err)
}

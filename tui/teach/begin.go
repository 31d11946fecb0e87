package teach

import (
	"context"
	"errors"
	"fmt"
	"io"

	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/link"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/tui/terminal"
)

// Lesson is what is to be learned, and where.
type Lesson struct {
	Name  string // of the meter
	Port  string // none, or auto: the one that talks
	Force bool   // an older description of that name is given up
	Look  terminal.Options
	In    io.Reader
	Out   io.Writer
	Talk  io.Writer
}

// Learn learns a meter with the person, on a screen where there is one, and keeps the
// answer under its name.
func Learn(ctx context.Context, f *link.Asked, o Lesson) error {
	if err := f.Learned.Free(o.Name, o.Force); err != nil {
		return err
	}
	if o.Port == serial.Stdin {
		return remedy.Call(errors.New("--learn asks its questions on standard input, so the meter cannot use it too"), "name the port of the meter")
	}
	c, err := f.Config(o.Port)
	if err != nil {
		return err
	}
	if o.Port == "" || o.Port == "auto" {
		found, err := serial.Find(ctx, nil, true, func(s string) { fmt.Fprintln(o.Talk, "halfdrop: "+s) })
		if err != nil {
			return serial.Hinted(err)
		}
		found.Config.Channel = c.Channel
		c = found.Config
	}
	l := &Learner{Name: o.Name, Conf: c, Look: o.Look,
		Save: func(name, text string) (string, error) { return f.Learned.Save(name, text, o.Force) }}
	if terminal.OnScreen(o.In, o.Out) {
		err = l.onScreen(ctx)
	} else {
		err = l.byLines(ctx, intake.Lines(ctx, o.In), o.Out)
	}
	if err == nil && l.Kept != "" {
		fmt.Fprintf(o.Talk, "halfdrop: kept in %s\nhalfdrop: hint: use it with --meter %s\n", l.Kept, l.Name)
	}
	return err
}

package link

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/phrase"
	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/meter/textfile"
)

func writeJSON(out io.Writer, ports []serial.Info) error {
	return textfile.JSON(out, append([]serial.Info{}, ports...))
}

// List writes a line for every port: name, USB identity, what it calls itself.
func List(out, talk io.Writer, asJSON bool) error {
	ports, err := serial.List()
	if err != nil {
		return err
	}
	if asJSON {
		return writeJSON(out, ports)
	}
	if len(ports) == 0 {
		fmt.Fprintln(talk, "halfdrop: no serial port found; plug the adapter in")
		return nil
	}
	w := phrase.Columns(out)
	for _, p := range ports {
		identity := "adapter unknown"
		if p.USB {
			identity = "USB " + p.VID + ":" + p.PID
		}
		fmt.Fprintln(w, strings.TrimRight(strings.Join([]string{p.Name, identity, p.Serial, p.Product}, "\t"), "\t"))
	}
	return w.Flush()
}

// Listen shows the lines of a port until the context or the time ends.
func (f *Asked) Listen(ctx context.Context, out, talk io.Writer, name string, limit time.Duration) error {
	c, err := f.conf(ctx, talk, name)
	if err != nil {
		return err
	}
	if limit > 0 {
		var cancel func()
		ctx, cancel = context.WithTimeout(ctx, limit)
		defer cancel()
	}
	c.All = true
	source, err := opened(c)
	if err != nil {
		return err
	}
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	reports := make(chan meter.Report)
	done := make(chan error, 1)
	go func() { done <- source.Run(ctx, reports) }()
	hinted := map[string]bool{}
	for {
		select {
		case r := <-reports:
			if name == serial.Stdin && r.Kind == meter.GotLink && r.Link == meter.Lost {
				fmt.Fprintln(talk, "halfdrop: standard input has ended")
				stop()
				<-done
				return nil
			}
			showReport(out, talk, r)
			if h := serial.LineHint(r.Err); r.Kind == meter.GotBadLine && h != "" && !hinted[h] {
				hinted[h] = true // once for each kind
				fmt.Fprintf(talk, "halfdrop: hint: %s\n", h)
			}
		case err := <-done:
			if errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
				return nil // Ctrl-C or --for is how listening ends
			}
			return err
		}
	}
}

// showReport writes a line of the meter, a tab and how it was read. What
// happens to the link is talk.
func showReport(out, talk io.Writer, r meter.Report) {
	out = intake.NewWriter(out)
	switch r.Kind {
	case meter.GotReading:
		fmt.Fprintf(out, "%s\t%s\n", r.Reading.Raw, meter.Words(r.Reading))
	case meter.GotBadLine:
		fmt.Fprintf(out, "%s\t%v\n", r.Text, r.Err)
	case meter.GotLink:
		fmt.Fprintf(talk, "halfdrop: %s\n", r.Text)
	}
}

// Stdin is what a journal calls readings that came on standard input.
const Stdin = "standard input"

// Keys is where a person types: standard input, or the terminal itself when the
// lines of the meter come on standard input. Without a terminal nobody types,
// and the end of the lines is the end of what is typed.
func Keys(port string, in io.Reader) io.Reader {
	if port != serial.Stdin {
		return in
	}
	if tty := Terminal(port); tty != nil {
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

// Terminal is the terminal that keys come from when standard input is the meter; nil
// when it is not, or when there is none.
func Terminal(port string) io.Reader {
	if port != serial.Stdin {
		return nil
	}
	if tty, err := os.Open("/dev/tty"); err == nil {
		return tty
	}
	return nil
}

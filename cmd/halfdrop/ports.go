package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/meter/textfile"
)

// lineFlags are the flags that say how to speak with a meter.
type lineFlags struct {
	mode    string
	query   string
	dialect string
	meter   string
	channel string
}

func (f *lineFlags) add(cmd *cobra.Command) {
	cmd.Flags().StringVar(&f.mode, "mode", "", "speed and character `frame`, such as \"9600 8N1\" or \"1200 7E1\"")
	cmd.Flags().StringVar(&f.query, "query", "", "`text` that asks the meter for a reading; \\r and \\n stand for CR and LF")
	cmd.Flags().StringVar(&f.dialect, "dialect", "", "TOML `file` that describes the lines a meter sends")
	cmd.Flags().StringVar(&f.meter, "meter", "", "`name` of a meter that ports --learn has learned")
	cmd.Flags().StringVar(&f.channel, "channel", "", "`channel` whose electrode is in the beaker, for a meter with several")
}

// at is the port to open: the one named, or else that of the meter named, as it
// was when it was learned.
func (f *lineFlags) at(port string) (string, error) {
	if port != "" || f.meter == "" {
		return port, nil
	}
	var c serial.Config
	if err := readMeter(f.meter, &c); err != nil {
		return "", err
	}
	return c.Name, nil
}

// config is what the flags say about the port of a name. Flags win over the file.
func (f *lineFlags) config(name string) (serial.Config, error) {
	c := serial.Config{Name: name}
	switch {
	case f.meter != "" && f.dialect != "":
		return c, usageError(errors.New("--meter and --dialect exclude each other"), "leave one out")
	case f.meter != "":
		if err := readMeter(f.meter, &c); err != nil {
			return c, err
		}
	case f.dialect != "":
		data, err := textfile.Read(f.dialect, textfile.MaxDialect)
		if err != nil {
			return c, err
		}
		if err := serial.ParseDialect(f.dialect, data, &c); err != nil {
			return c, withHint(err, "the keys are "+strings.Join(serial.DialectKeys, ", "))
		}
	}
	if f.channel != "" {
		c.Channel = f.channel
	}
	if f.mode != "" {
		if err := c.SetMode(f.mode); err != nil {
			return c, usageError(err, "see halfdrop ports --help")
		}
	}
	if f.query != "" {
		c.Query = strings.NewReplacer(`\r`, "\r", `\n`, "\n").Replace(f.query)
	}
	return c, nil
}

// found sets what the flags say about lines in the config of a port that was
// looked for.
func (f *lineFlags) found(c serial.Config) (serial.Config, error) {
	said, err := f.config(c.Name)
	c.Dialect, c.Channel = said.Dialect, said.Channel
	if said.Query != "" {
		c.Query, c.Interval = said.Query, said.Interval
	}
	return c, err
}

// newPortsCommand lists the serial ports, or shows what comes from one.
func newPortsCommand() *cobra.Command {
	var line lineFlags
	var listen, name string
	var limit time.Duration
	var force, asJSON bool
	cmd := &cobra.Command{
		Use:   "ports",
		Short: "List serial ports, or show what a meter on one of them sends",
		Long: `List the serial ports with what the system knows of them.

With --listen NAME, show every line that comes from that port and how it would
be read, until Ctrl-C. With --listen auto, look for a meter on all ports first:
at the usual speeds, listening first and then asking. Other instruments on
these ports are asked too; the questions change no settings. A serial server or a bridge
on the network is tcp://HOST:PORT (raw TCP), lines on standard input are -.

With --learn NAME, listen for twenty lines and ask what their columns are: which
is the pH, which the temperature. The answer is kept under the name, for --meter.
Columns named by a label or a unit need no question, and none is ever guessed.`,
		Example: `  halfdrop ports
  halfdrop ports --listen /dev/ttyUSB0
  halfdrop ports --listen COM3 --mode "1200 7E1" --for 10s
  halfdrop ports --learn corner-bench --listen tcp://10.0.0.7:4001`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			ctx, stop := signal.NotifyContext(commandContext(cmd), os.Interrupt)
			defer stop()
			if name != "" {
				return line.learn(ctx, cmd, name, listen, force)
			}
			listen, err := line.at(listen)
			if err != nil {
				return err
			}
			if listen == "" {
				return listPorts(cmd.OutOrStdout(), cmd.ErrOrStderr(), asJSON)
			}
			return listenTo(ctx, cmd, listen, &line, limit)
		},
	}
	cmd.Flags().StringVar(&listen, "listen", "", "port to listen to, or auto")
	cmd.Flags().StringVar(&name, "learn", "", "learn, with your help, what the meter sends; keep it under this `name`")
	cmd.Flags().BoolVar(&force, "force", false, "with --learn, overwrite a meter of the same name")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the list of ports as JSON")
	cmd.Flags().DurationVar(&limit, "for", 0, "stop listening after this time, such as 10s")
	line.add(cmd)
	return cmd
}

// commandContext is the context of a command, also of one that was started
// without any.
func commandContext(cmd *cobra.Command) context.Context {
	if ctx := cmd.Context(); ctx != nil {
		return ctx
	}
	return context.Background()
}

// listPorts writes a line for every port: name, USB identity, what it calls itself.
func listPorts(out, talk io.Writer, asJSON bool) error {
	ports, err := serial.List()
	if err != nil {
		return err
	}
	if asJSON {
		return writePortsJSON(out, ports)
	}
	if len(ports) == 0 {
		fmt.Fprintln(talk, "halfdrop: no serial port found; plug the adapter in")
		return nil
	}
	w := tabwriter.NewWriter(out, 0, 8, 2, ' ', 0)
	for _, p := range ports {
		identity := "adapter unknown"
		if p.USB {
			identity = "USB " + p.VID + ":" + p.PID
		}
		fmt.Fprintln(w, strings.TrimRight(strings.Join([]string{p.Name, identity, p.Serial, p.Product}, "\t"), "\t"))
	}
	return w.Flush()
}

// listenTo shows the lines of a port until the context or the time ends.
func listenTo(ctx context.Context, cmd *cobra.Command, name string, flags *lineFlags, limit time.Duration) error {
	c, err := flags.config(name)
	if err != nil {
		return err
	}
	talk := cmd.ErrOrStderr()
	if name == "auto" {
		if c, err = findMeter(ctx, talk, flags); err != nil {
			return err
		}
	}
	if limit > 0 {
		var cancel func()
		ctx, cancel = context.WithTimeout(ctx, limit)
		defer cancel()
	}
	c.All = true
	source, err := serial.Open(c)
	if err != nil {
		return serial.Hinted(err)
	}
	reports := make(chan meter.Report)
	done := make(chan error, 1)
	go func() { done <- source.Run(ctx, reports) }()
	hinted := map[string]bool{}
	for {
		select {
		case r := <-reports:
			showReport(cmd.OutOrStdout(), talk, r)
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

// findMeter looks for a meter on all ports and says what it does. One that was
// learned need not be understood by the words of its lines.
func findMeter(ctx context.Context, talk io.Writer, flags *lineFlags) (serial.Config, error) {
	find := serial.Find
	if flags.meter != "" || flags.dialect != "" || flags.channel != "" {
		find = serial.FindTalker
	}
	found, err := find(ctx, nil, func(s string) { fmt.Fprintln(talk, "halfdrop: "+s) })
	if err != nil {
		return serial.Config{}, serial.Hinted(err)
	}
	return flags.found(found.Config)
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

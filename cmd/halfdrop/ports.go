package main

import (
	"errors"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/link"
	"example.org/halfdrop/meter/shelf"
	"example.org/halfdrop/tui/teach"
)

// lineFlags are the flags that say how to speak with a meter.
type lineFlags struct{ link.Asked }

func (f *lineFlags) add(cmd *cobra.Command) {
	f.Learned = meters()
	cmd.Flags().StringVar(&f.Mode, "mode", "", "speed and character `frame`, such as \"9600 8N1\" or \"1200 7E1\"")
	cmd.Flags().StringVar(&f.Query, "query", "", "`text` that asks the meter for a reading; \\r and \\n stand for CR and LF")
	cmd.Flags().StringVar(&f.Dialect, "dialect", "", "TOML `file` that describes the lines a meter sends")
	cmd.Flags().StringVar(&f.Meter, "meter", "", "`name` of a meter that ports --learn has learned")
	cmd.Flags().StringVar(&f.Channel, "channel", "", "`channel` whose electrode is in the beaker, for a meter with several")
}

// newPortsCommand lists the serial ports, or shows what comes from one.
func newPortsCommand() *cobra.Command {
	var line lineFlags
	var listen, name string
	var limit time.Duration
	var force, asJSON bool
	cmd := &cobra.Command{
		Use:   "ports | --listen NAME [--for TIME] | --learn NAME [--listen NAME]",
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
			switch {
			case limit < 0:
				return usageError(fmt.Errorf("--for %s: must be above zero", limit), "as in --for 10s")
			case asJSON && (listen != "" || name != ""):
				return usageError(errors.New("--json is for the list of ports"), "leave it out, or leave --listen and --learn out")
			case force && name == "":
				return usageError(errors.New("--force belongs to --learn"), "as in halfdrop ports --learn corner-bench --force")
			}
			ctx, stop := signal.NotifyContext(cmd.Context(), os.Interrupt)
			defer stop()
			if name != "" {
				return teach.Learn(ctx, &line.Asked, teach.Lesson{Name: name, Port: listen, Force: force, Look: face, In: cmd.InOrStdin(), Out: cmd.OutOrStdout(), Talk: cmd.ErrOrStderr()})
			}
			listen, err := line.At(listen)
			if err != nil {
				return err
			}
			if listen == "" {
				return link.List(cmd.OutOrStdout(), cmd.ErrOrStderr(), asJSON)
			}
			return line.Listen(ctx, cmd.OutOrStdout(), cmd.ErrOrStderr(), listen, limit)
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

// meters are the meters that were learned, beside the defaults.
func meters() shelf.Meters {
	config, err := manners.ConfigPath()
	if err == nil && config == os.DevNull {
		err = usageError(fmt.Errorf("%s is %s: no meter is kept there", manners.ConfigEnv, os.DevNull), "set it to the path of a file; meters are kept beside it")
	}
	return shelf.Meters{Folder: filepath.Join(filepath.Dir(config), "meters"), Env: manners.ConfigEnv, Err: err}
}

// knownMeters are the names of the meters that were learned.
func knownMeters() []string { return meters().Names() }

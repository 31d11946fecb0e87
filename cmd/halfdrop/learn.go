package main

import (
	"context"
	"errors"
	"fmt"
	"os"

	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/tui"
	"example.org/halfdrop/tui/teach"
	"github.com/spf13/cobra"
)

// learn is halfdrop ports --learn.
func (f *lineFlags) learn(ctx context.Context, cmd *cobra.Command, name, port string, force bool) error {
	if err := meterFree(name, force); err != nil {
		return err
	}
	if port == serial.Stdin {
		return usageError(errors.New("--learn asks its questions on standard input, so the meter cannot use it too"), "name the port of the meter")
	}
	talk := cmd.ErrOrStderr()
	c, err := f.config(port)
	if err != nil {
		return err
	}
	if port == "" || port == "auto" {
		found, err := serial.FindTalker(ctx, nil, func(s string) { fmt.Fprintln(talk, "halfdrop: "+s) })
		if err != nil {
			return serial.Hinted(err)
		}
		found.Config.Channel = c.Channel
		c = found.Config
	}
	l := &teach.Learner{Name: name, Conf: c, Look: face,
		Save: func(name, text string) (string, error) { return saveMeter(name, text, force) }}
	if tui.IsTerminal(cmd.InOrStdin()) && tui.IsTerminal(cmd.OutOrStdout()) && os.Getenv("TERM") != "dumb" {
		err = l.OnScreen(ctx)
	} else {
		err = l.ByLines(ctx, intake.Lines(ctx, cmd.InOrStdin()), cmd.OutOrStdout())
	}
	if err == nil && l.Kept != "" {
		fmt.Fprintf(talk, "halfdrop: kept in %s\nhalfdrop: hint: use it with --meter %s\n", l.Kept, l.Name)
	}
	return err
}

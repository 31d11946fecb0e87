package main

import (
	"context"
	"errors"
	"fmt"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/run"
	"github.com/spf13/cobra"
)

// show runs the session with the front end that fits the terminal, and says how
// the run ended. A signal leaves it open, to be gone on with.
func (t *titration) show(cmd *cobra.Command, s *run.Session, k *run.Keeper, path string) error {
	ctx, caught, stop := manners.UntilSignal(context.Background())
	defer stop()
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	ended := make(chan error, 1)
	go func() { ended <- remedy.Guard(ctx, s.Run) }()
	err := t.front(ctx, cmd, s)
	cancel()
	if runErr := <-ended; err == nil && runErr != nil && !errors.Is(runErr, context.Canceled) {
		err = runErr
	}
	if err != nil {
		return err
	}
	fmt.Fprintf(cmd.ErrOrStderr(), "halfdrop: recorded in %s\n", path)
	if sig := caught(); sig != nil {
		return &manners.Signalled{By: *sig, Hint: "halfdrop titrate --resume " + path + " continues it"}
	}
	if k.State.Looks() && k.State.AtLast().Outcome != "" {
		if err := t.teachIfSure(k.State, path, cmd.ErrOrStderr()); err != nil {
			return err
		}
		return found(k.State, cmd.OutOrStdout())
	}
	if err := missed(k.State, path); err != nil {
		return err
	}
	if !t.sim {
		fmt.Fprintf(cmd.ErrOrStderr(), "halfdrop: made up, mixed and read: halfdrop label %s puts that reading on record and on the label\n", path)
	}
	return t.memory().Teach(k.State, path, cmd.ErrOrStderr())
}

// missed says why a run that is over has not reached its aim; nil when it has.
func missed(s run.State, path string) error {
	v := s.AtLast()
	var why string
	var hints []string
	switch {
	case v.Outcome == "":
		why, hints = "the run is not closed", []string{"halfdrop titrate --resume " + path + " continues it"}
	case v.Inside():
		return nil
	case v.AtRest:
		why = fmt.Sprintf("the run ended at pH %.2f, where %.2f ± %g is the aim", v.Read.PH, v.Advice.Aim, v.Advice.Tolerance)
	default:
		why = "the run ended before it was read at rest"
	}
	return &remedy.Error{Kind: remedy.Missed, Err: errors.New(why), Hints: hints}
}

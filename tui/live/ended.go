package live

import (
	"context"
	"errors"
	"fmt"
	"math"
	"strings"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/session"
	"example.org/halfdrop/tui/amount"
)

// show runs the session with the front end that fits the terminal, and says how
// the run ended. A signal leaves it open, to be gone on with.
func (t *Asked) show(s *session.Session, k *keep.Keeper, path string) error {
	ctx, caught, stop := remedy.UntilSignal(context.Background())
	defer stop()
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	ended := make(chan error, 1)
	go func() { ended <- remedy.Guard(ctx, s.Run) }()
	err := t.front(ctx, s)
	cancel()
	if runErr := <-ended; err == nil && runErr != nil && !errors.Is(runErr, context.Canceled) {
		err = runErr
	}
	if err != nil {
		return err
	}
	fmt.Fprintf(t.Talk, "halfdrop: recorded in %s\n", path)
	if sig := caught(); sig != nil {
		return &remedy.Signalled{By: *sig, Hint: "halfdrop titrate --resume " + path + " continues it"}
	}
	if k.State.Looks() && k.State.AtLast().Outcome != "" {
		if err := amount.Teach(t.memory(), k.State, path, t.Talk); err != nil {
			return err
		}
		return amount.Found(k.State, t.Out)
	}
	if err := missed(k.State, path); err != nil {
		return err
	}
	t.tellWaiting(k.State.Setup, "now that the pH is set, before it is made up: ")
	if !t.Sim {
		made := "made up, mixed and read"
		if k.State.Setup.Unweighed() {
			made = "mixed and read" // the beaker as it is: nothing is made up
		}
		fmt.Fprintf(t.Talk, "halfdrop: %s: halfdrop label %s puts that reading on record and on the label\n", made, path)
	}
	return t.memory().Teach(k.State, path, t.Talk)
}

// tellWaiting says what goes in once the pH is set; nothing where nothing does.
func (t *Asked) tellWaiting(s *recipe.Setup, when string) {
	if list := s.Waiting(); len(list) > 0 {
		fmt.Fprintf(t.Talk, "halfdrop: %s%s\n", when, strings.Join(list, ", "))
	}
}

// missed says why a run that is over has not reached its aim; nil when it has.
func missed(s run.State, path string) error {
	v := s.AtLast()
	var why string
	goesOn := "halfdrop titrate --resume " + path + " continues it" // one that was closed, too: whoever takes over needs the name
	switch {
	case v.Outcome == "":
		why = "the run is not closed"
	case v.Inside():
		return nil
	case v.AtRest:
		why = fmt.Sprintf("the run ended at pH %.2f, where %.2f ± %g is the aim", v.Read.PH, v.Advice.Aim, math.Round(1000*v.Advice.Tolerance)/1000)
	default:
		why = "the run ended before it was read at rest"
	}
	return &remedy.Error{Kind: remedy.Missed, Err: errors.New(why), Hints: []string{goesOn}}
}

// Package remedy is how a room below the command line says that something
// went wrong: an error, of what kind it is, and what to try. It prints
// nothing; the command line has the words before it and an exit status for
// each kind.
package remedy

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"runtime/debug"
	"strings"
	"sync/atomic"
	"syscall"
)

// Kind is what sort of failure an error is.
type Kind uint8

// The kinds of failure.
const (
	Failed      Kind = iota // what was asked for could not be done
	Usage                   // it was asked for in a way that cannot be, or a file is invalid
	Missed                  // it was done, and the aim was not reached
	Damaged                 // a journal is damaged
	Interrupted             // the person ended it
)

// Error is an error with its kind and hints on what to try, each a sentence
// in lower case without a full stop. Its text is that of Err.
type Error struct {
	Kind  Kind
	Err   error
	Hints []string
}

// Error is the text of the error alone.
func (e *Error) Error() string { return e.Err.Error() }

// Unwrap is the error itself.
func (e *Error) Unwrap() error { return e.Err }

// With adds what to try to an error.
func With(err error, hints ...string) error { return &Error{Kind: Failed, Err: err, Hints: hints} }

// Call is an error in how the program was called, or in a file it was given.
func Call(err error, hints ...string) error { return &Error{Kind: Usage, Err: err, Hints: hints} }

// Guard runs a run beside its screen. Should it crash, that becomes an error,
// so that the screen can give the terminal back before the fault is told.
func Guard(ctx context.Context, run func(context.Context) error) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = With(fmt.Errorf("internal error: %v\n%s", r, strings.TrimSpace(string(debug.Stack()))),
				"the record holds everything that was done; resume it with halfdrop titrate --resume", "send the lines above with a report of the fault")
		}
	}()
	return run(ctx)
}

// Signalled is the end of a run by a signal, which leaves it open.
type Signalled struct {
	By   syscall.Signal
	Hint string // how it is continued
}

// Error names the signal.
func (s *Signalled) Error() string { return s.By.String() + ": the run is not closed" }

// Status is that of a program that a signal ends, as a shell has it.
func (s *Signalled) Status() int { return 128 + int(s.By) }

// inOrder is set once something of this process ends in good order on a hangup.
var inOrder atomic.Bool

// HangupInOrder says that a hangup is dealt with from here on: files are closed, the
// terminal is given back.
func HangupInOrder() { inOrder.Store(true) }

// EndsInOrder reports whether a hangup is dealt with, and the program may be given a
// moment to end by itself.
func EndsInOrder() bool { return inOrder.Load() }

// UntilSignal is a context that ends with the first signal that ends programs.
// caught is that signal, nil when none came.
func UntilSignal(parent context.Context) (ctx context.Context, caught func() *syscall.Signal, stop func()) {
	ctx, cancel := context.WithCancel(parent)
	HangupInOrder()
	got := make(chan os.Signal, 1)
	signal.Notify(got, os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	var first atomic.Pointer[syscall.Signal]
	go func() {
		select {
		case sig := <-got:
			if n, ok := sig.(syscall.Signal); ok {
				first.Store(&n)
			}
			cancel()
		case <-ctx.Done():
		}
	}()
	return ctx, first.Load, func() { signal.Stop(got); cancel() }
}

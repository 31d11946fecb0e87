package remedy

import (
	"context"
	"os"
	"os/signal"
	"sync/atomic"
	"syscall"
)

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

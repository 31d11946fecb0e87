// Package tui is the screen at the stir plate, and the line mode that takes
// its place where a screen is of no use. It draws what a run shows and hands
// over what the person wants; it knows no chemistry and no meter.
package tui

import (
	"context"
	"io"

	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/terminal"
)

// Runner is a run as seen from a screen.
type Runner interface {
	// Views delivers the latest view and is closed when the run has ended.
	Views() <-chan view.View
	// Post hands over what a person wants; it never blocks.
	Post(intent.Intent)
}

// Run shows a run on the terminal until it has ended, the person has left or
// ctx ends, and leaves the terminal as it was.
func Run(ctx context.Context, r Runner, o terminal.Options) error {
	out := terminal.Output(o)
	m := newModel(r, o, func() { io.WriteString(out, "\a") })
	return terminal.UnlessInterrupted(terminal.Present(ctx, m, o, out))
}

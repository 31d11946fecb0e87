// Package tui is the screen at the stir plate, and the line mode that takes
// its place where a screen is of no use. It draws what a run shows and hands
// over what the person wants; it knows no chemistry and no meter.
package tui

import (
	"context"
	"io"
	"os"
	"strconv"

	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/tui/screen/planform"
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
	o.Out = terminal.Output(o) // which the bell shares
	return terminal.Show(ctx, newModel(r, o, func() { io.WriteString(o.Out, "\a") }), o)
}

// Plan asks for a plan in a form on the terminal until the person leaves. The
// field with the key buffer is filled in by picking from the list.
func Plan(ctx context.Context, p planform.Planner, fields []planform.Field, buffer string, o terminal.Options) error {
	m := planform.New(p, fields, buffer, o.Set(os.Getenv))
	m.Beside = true
	return terminal.Show(ctx, m, o)
}

// Left is the outcome of a run that was ended before its aim.
const Left = "ended before the aim"

// LeftUnread is that of one that was ended while the reading was not at rest.
const LeftUnread = Left + ", not read at rest"

// LeftOpen is that of one that looked for an amount, and ended before that was known.
const LeftOpen = "ended before the answer was known"

// outcome is what to write at the end of a run that is ended in this state. A
// value is named only when it was read at rest.
func outcome(v view.View) string {
	switch {
	case v.Found != nil && v.Inside():
		return "found: " + v.Found.Words()
	case v.Found != nil:
		return LeftOpen
	case v.Inside():
		return "in tolerance at " + strconv.FormatFloat(v.Read.PH, 'f', max(v.Decimals, 1), 64)
	case v.HasReading && !v.AtRest:
		return LeftUnread
	}
	return Left
}

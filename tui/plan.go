package tui

import (
	"context"
	"os"

	"example.org/halfdrop/tui/screen/planform"
	"example.org/halfdrop/tui/terminal"
)

// Plan asks for a plan in a form on the terminal until the person leaves. The
// field with the key buffer is filled in by picking from the list.
func Plan(ctx context.Context, p planform.Planner, fields []planform.Field, buffer string, o terminal.Options) error {
	m := planform.New(p, fields, buffer, o.Set(os.Getenv))
	m.Beside = true
	return terminal.UnlessInterrupted(terminal.Present(ctx, m, o, terminal.Output(o)))
}

package tui

import (
	"context"
	"errors"
	"fmt"
	"os"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/halfdrop/tui/screen"
)

// Plan asks for a plan in a form on the terminal until the person leaves. The
// field with the key buffer is filled in by picking from the list.
func Plan(ctx context.Context, p screen.Planner, fields []screen.PlanField, buffer string, o Options) error {
	m := screen.NewPlanForm(p, fields, buffer, o.set(os.Getenv))
	opts := []tea.ProgramOption{tea.WithContext(ctx), tea.WithAltScreen(), tea.WithFPS(framesPerSecond), tea.WithOutput(output(o))}
	if o.In != nil {
		opts = append(opts, tea.WithInput(o.In))
	}
	_, err := tea.NewProgram(m, opts...).Run()
	if err == nil || errors.Is(err, tea.ErrInterrupted) || ctx.Err() != nil {
		return nil
	}
	return fmt.Errorf("tui: %w", err)
}

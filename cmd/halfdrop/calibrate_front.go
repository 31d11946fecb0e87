package main

import (
	"context"

	"github.com/spf13/cobra"

	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/tui/dip"
	"example.org/halfdrop/tui/terminal"
)

// front leads through the standards on a screen, or by lines of text where a
// screen is not wanted or not possible.
func (c *calibration) front(ctx context.Context, cmd *cobra.Command, r *dip.Rig) error {
	if c.plain || c.typed || !terminal.OnScreen(cmd.InOrStdin(), cmd.OutOrStdout()) {
		return r.Lead(ctx, intake.Lines(ctx, cmd.InOrStdin()))
	}
	title := "Calibration"
	if c.Electrode != "" {
		title += " of electrode " + c.Electrode
	}
	return r.LeadOnScreen(ctx, title, face)
}

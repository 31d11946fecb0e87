package main

import (
	"cmp"
	"context"
	"io"
	"time"

	"github.com/spf13/cobra"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/intake"
	"example.org/halfdrop/meter/run/session"
	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/meter/station"
	"example.org/halfdrop/tui/dip"
	"example.org/halfdrop/tui/live"
	"example.org/halfdrop/tui/terminal"
)

func (c *calibration) rig(ctx context.Context, talk io.Writer) (*dip.Rig, error) {
	start := time.Now()
	r := &dip.Rig{Now: func() float64 { return time.Since(start).Seconds() }}
	r.Wall = func(s float64) time.Time {
		return start.Add(time.Duration(s * float64(time.Second))).Round(time.Second)
	}
	if c.Sim {
		return r, c.simulated(r)
	}
	if c.typed {
		r.Source, r.Typed = session.NoLine{}, true
		return r, nil
	}
	source, err := c.line.Open(ctx, talk, c.port) // c.port was chosen before
	if err != nil {
		return nil, err
	}
	r.Source = source
	return r, nil
}

// simulated puts the electrode of the simulated bench into the rig.
func (c *calibration) simulated(r *dip.Rig) error {
	s := &simulation{sends: c.sends, seed: c.seed, speed: 1, every: sim.Every}
	kind, err := s.check()
	if err != nil {
		return err
	}
	plan, err := (&live.Asked{Plan: c.planPath}).Recipe()
	if err != nil {
		return err
	}
	setup, err := recipe.Compile(plan)
	if err != nil {
		return err
	}
	bench, err := sim.New(setup, sim.DefaultTruth(setup, cmp.Or(c.seed, sim.DrawnSeed())))
	if err != nil {
		return err
	}
	clock := sim.NewClock(c.speed)
	bench.Wire(clock, kind)
	r.Source, r.Now, r.Rinse, r.Into = bench.Source(clock, sim.Every), clock.Seconds, bench.Rinse, station.Hand(bench)
	return nil
}

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

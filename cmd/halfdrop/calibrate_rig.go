package main

import (
	"context"
	"io"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/tui/widget"
)

// rig is the meter in use, real or simulated.
type rig struct {
	source meter.Source
	now    func() float64              // s
	wall   func(s float64) time.Time   // the time of day of a second
	into   func(calib.Standard) string // the simulated hand; nil at a real bench
	rinse  func()
	proc   *calib.Procedure
	out    io.Writer
	talk   io.Writer
	typed  bool    // what the meter shows is typed
	asked  bool    // for a temperature, as the meter sends none
	said   float64 // when the last line about the reading was written, s

	offered *calib.Unfinished // what was broken off, until the person has decided
	keep    func() error      // keeps what has been accepted; nil where nothing is kept
	forget  func() error      // and lets go of it, when it is complete
	unkept  error             // of keep, the last time

	show  func() // draws the screen; nil in line mode
	last  meter.Reading
	heard bool           // last is one
	trace []widget.Point // of the reading in the present standard, s and its unit
	link  string         // the last words about the line
	lost  bool
}

func (c *calibration) rig(ctx context.Context, talk io.Writer) (*rig, error) {
	start := time.Now()
	r := &rig{now: func() float64 { return time.Since(start).Seconds() }}
	r.wall = func(s float64) time.Time {
		return start.Add(time.Duration(s * float64(time.Second))).Round(time.Second)
	}
	if c.sim {
		return r, c.simulated(r)
	}
	if c.typed {
		r.source, r.typed = run.NoLine{}, true
		return r, nil
	}
	conf, err := c.line.config(c.port) // c.port was chosen before
	if err != nil {
		return nil, err
	}
	if c.port == "auto" {
		if conf, err = findMeter(ctx, talk, &c.line); err != nil {
			return nil, err
		}
	}
	source, err := serial.Open(conf)
	if err != nil {
		return nil, hinted(err)
	}
	r.source = source
	return r, nil
}

// simulated puts the electrode of the simulated bench into the rig.
func (c *calibration) simulated(r *rig) error {
	s := &simulation{sends: c.sends, seed: c.seed, speed: 1, every: sim.Every}
	kind, err := s.check()
	if err != nil {
		return err
	}
	plan, err := (&titration{planPath: c.planPath}).plan()
	if err != nil {
		return err
	}
	setup, err := recipe.Compile(plan)
	if err != nil {
		return err
	}
	if c.seed == 0 {
		c.seed = uint64(time.Now().UnixNano())%1e6 + 1
	}
	bench, err := sim.New(setup, sim.DefaultTruth(setup, c.seed))
	if err != nil {
		return err
	}
	clock := sim.NewClock(c.speed)
	probe := sim.NewProbe(bench, clock, kind)
	r.source, r.now = probe.Source(sim.Every), clock.Seconds
	r.rinse = probe.Rinse
	r.into = func(st calib.Standard) string {
		ph, err := st.PH(chem.Celsius(bench.TempShown()))
		if err != nil {
			return err.Error()
		}
		probe.Into(ph)
		return "the simulated electrode is in " + st.String()
	}
	return nil
}

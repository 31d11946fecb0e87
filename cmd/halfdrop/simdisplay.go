package main

import (
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/meter/station"
)

// readOff makes of the simulated bench one whose meter has no line, where the run is
// by hand: its display is shown, and a person types what it shows.
func (t *titration) readOff(at place, b *sim.Bench, clock *sim.Clock) place {
	if !t.byHand {
		return at
	}
	d := &station.Display{Bench: b, Now: clock.Seconds}
	t.display = d.Shows
	at.name, at.source = run.ByHand+", "+at.name, run.NoLine{}
	return at
}

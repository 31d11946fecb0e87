package main

import (
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/sim"
)

// simPlate is the simulated bench as a plate at which drops fall one by one.
type simPlate struct{ *sim.Bench }

// Begin begins an addition of drops.
func (p simPlate) Begin(titrant string, drops float64) (run.Pour, error) {
	return p.Bench.Begin(titrant, drops, 0)
}

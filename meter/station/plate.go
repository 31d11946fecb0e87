package station

import (
	"example.org/halfdrop/meter/run/session"
	"example.org/halfdrop/meter/sim"
)

// Plate is the simulated bench as a plate at which drops fall one by one.
type Plate struct{ *sim.Bench }

// Begin begins an addition of drops.
func (p Plate) Begin(titrant string, drops float64) (session.Pour, error) {
	return p.Bench.Begin(titrant, drops, 0)
}

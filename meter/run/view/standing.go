package view

import (
	"math"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
)

// restShare is how far, as part of the tolerance, a reading that is called settled may be
// from where it is thought to end (choice): one that has farther to go is on its way,
// however well its end is known.
const restShare = 0.5

// Settled reports whether the reading stands where it will end, as far as anybody at the
// plate is concerned: what the sign beside it says, and the line protocol. A reading on
// which done is said counts as read at rest, and is called that everywhere.
func (v View) Settled() bool {
	if v.AtRest && v.Advice.Do == coach.Stop && v.Advice.Reason == coach.InTolerance {
		return true
	}
	e := v.Settling
	if e.State != probe.Settled {
		return false
	}
	return v.Found != nil || !(v.Advice.Tolerance > 0) || math.Abs(e.End-e.Now) <= restShare*v.Advice.Tolerance
}

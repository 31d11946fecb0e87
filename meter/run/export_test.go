package run

import (
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
)

// OrderedOn is the reading on which the order that stands was given.
func (s *State) OrderedOn() probe.Estimate { return s.order.Est }

// Upheld is what is said of the order that stands on another reading.
func (s *State) Upheld(est probe.Estimate, now float64) coach.Advice { return s.upheld(est, now) }

// OrderedAt is when it was given, s.
func (s *State) OrderedAt() float64 { return s.order.T }

// Waited is for how long earlier compositions were waited for, s.
func (s *State) Waited() float64 { return s.entries.Waited(s.begun) }

package run

import (
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/view"
)

// rest is what the meter shows when it is at rest in the beaker: not while drops
// fall, on a line that fails, or before anybody has looked at what is odd.
func (s *State) rest(v *view.View, est probe.Estimate) (at view.Value, ok bool) {
	if v.Falling != nil || est.State != probe.Settled && (est.State != probe.Settling || v.Advice.Do != coach.Stop) {
		return at, false // what the coach calls done is at rest as far as the tolerance is concerned
	}
	switch v.Advice.Reason {
	case coach.NoReading, coach.Settling, coach.Stale, coach.Faulty, coach.Stuck, coach.Moved, coach.HandsOff, coach.InStandard:
		return at, false
	}
	return view.Value{PH: est.Now, SD: est.SD, T: s.last.t}, true
}

// done is a reading at which done was said, after so many additions.
type done struct {
	view.Value
	adds int
}

// reached reports whether done was said of this composition, and all that came since is
// that the electrode was taken out or the meter switched off, as everybody does then: what
// was read does not become less true by it.
func (s *State) reached(v *view.View) bool {
	if s.done == nil || s.done.adds != s.entries.Count() || v.AtRest || v.Falling != nil {
		return false
	}
	switch v.Advice.Reason {
	case coach.Stale, coach.Moved, coach.NoReading:
		return true
	case coach.Faulty:
		return s.down(s.T)
	}
	for _, m := range s.moves() {
		if m.From >= s.done.T-leftWithin {
			return true
		}
	}
	return false
}

// leftWithin is by how much an electrode may seem to have left before done was said, s: the
// first readings of a movement are known for one after some more.
const leftWithin = 5.0

// AtLast is the view at the latest reading: what was read at rest then does not
// become less true while somebody reaches for the keys.
func (s State) AtLast() view.View {
	t := s.T
	if s.last.any {
		t = s.last.t
	}
	v := s.Look(t)
	if v.Reached {
		v.AtRest, v.Read = true, s.done.Value
		v.Advice.Do, v.Advice.Reason = coach.Stop, coach.InTolerance
	}
	return v
}

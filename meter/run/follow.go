package run

import (
	"math"

	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/probe/sift"
	"example.org/halfdrop/meter/run/still"
)

// follow takes a reading into what is known of the present composition; pass are
// those that are no wild ones.
func (s *State) follow(t, ph, resolution float64, pass []sift.Sample) {
	before := s.track.Moving()
	if len(pass) > 0 && !s.still.Repeated(ph) && s.stood() { // it moves again: what stood still says nothing
		s.track = s.track.Immerse(t)
		s.eye = s.eye.Broken(t)
		s.version++
	}
	one, _ := s.track.Pickup()
	s.track.Refine(resolution, ph)
	s.track.Absorb(t, s.plainly(ph))
	s.reads++
	if two, _ := s.track.Pickup(); two && !one { // what was seen so far was mixed up
		s.eye = s.eye.Broken(t)
	}
	if _, left := s.track.Pickup(); !left {
		for _, o := range pass {
			s.still.Push(o.T, o.PH)
			s.recall(o.T, o.PH)
		}
	}
	if s.track.Moving() != before {
		if moves := s.moves(); len(moves) > 0 && s.untouched() { // the electrode comes from another liquid
			s.eye = s.eye.Placed(moves[len(moves)-1].From)
		}
		s.version++
	}
}

// untouched reports whether nothing was ordered or added yet.
func (s *State) untouched() bool { return s.entries.Count() == 0 && !s.led }

// halted reports whether the reading stands still where it must have gone on.
func (s *State) halted() bool { return !s.trusted && !s.byHand && s.still.Halted(s.track.Resolution()) }

// stuck reports whether the reading stands still to the last digit where it
// must move.
func (s *State) stuck() bool { return s.stopped() || s.unmoved() }

// stood is stuck, whether or not somebody has said that all is well.
func (s *State) stood() bool {
	if !s.trusted {
		return s.stuck()
	}
	c := *s
	c.trusted = false
	return c.stuck()
}

// stopped reports whether the reading stopped dead in the middle of a move: no
// electrode does that.
func (s *State) stopped() bool { return s.halted() && s.still.Standing() >= still.DeadFor }

// unmoved reports whether nothing at all has answered an addition.
func (s *State) unmoved() bool {
	en, ok := s.Latest()
	if !ok || s.trusted || s.sieve.Holds() || s.track.Unread() || en.Before.State == probe.Empty || s.still.Standing() < still.For || s.last.t-en.From < still.For || s.still.Since() > en.From+1 {
		return false
	}
	step := math.Abs(s.expected(&en) - s.shift.Since(en.Before).End)
	return step >= still.Moves*s.track.Resolution() && step >= 3*en.Before.SD
}

// latest is when the latest reading came, s; −∞ before one.
func (s *State) latest() float64 {
	if !s.last.any {
		return math.Inf(-1)
	}
	return s.last.t
}

// tooFew reports whether so few readings have come since the latest addition that what it
// did may not have shown: a meter that has paused shows all of it at once. One that is slow
// is not waited for.
func (s *State) tooFew() bool {
	return s.reads < readsLeast && s.entries.Count() > 0 && !s.byHand && s.track.Interval() <= staleLeast
}

// readsLeast are the readings after an addition before anything is said on them.
const readsLeast = 3

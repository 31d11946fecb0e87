package session

import (
	"errors"
	"math"
	"time"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/view"
)

// Dripper is a Dispenser into which the drops of an addition fall one by one: the
// simulated plate, at which Enter lets fall what Space did not.
type Dripper interface {
	Dispenser
	// Begin begins an addition of drops; nothing of it has fallen yet.
	Begin(titrant string, drops float64) (Pour, error)
}

// Pour is an addition on its way.
type Pour interface {
	// Fall lets a share of it fall now.
	Fall(share float64)
}

// How the drops of the simulated plate fall, a choice of this project.
const (
	dropEvery = 0.6                   // s between two drops
	dripLook  = 50 * time.Millisecond // how often it is looked whether one is due
)

var errFalling = errors.New("the drops are falling; it is recorded when all are in")

// giving is an addition to the simulated beaker that has begun.
type giving struct {
	view.Giving
	pour  Pour
	extra float64       // drops beyond it, that were let fall one by one
	told  bool          // Enter was pressed: the rest falls by itself, and is recorded then
	in    intent.Intent // of the Enter
	next  float64       // s, when the next drop falls
}

// fall lets the next drop fall, or the half of one that is left.
func (g *giving) fall() {
	n := math.Min(1, g.Drops-g.Fallen)
	g.pour.Fall(n / g.Drops)
	g.Fallen += n
}

// beginGiving begins an addition to a bench whose drops fall one by one.
func (s *Session) beginGiving(titrant string, drops float64) error {
	p, err := s.bench.(Dripper).Begin(titrant, drops)
	if err != nil {
		return err
	}
	s.giving = &giving{Giving: view.Giving{Titrant: titrant, Drops: drops}, pour: p}
	return nil
}

// drips reports whether the drops of the bench fall one by one.
func (s *Session) drips() bool {
	_, ok := s.bench.(Dripper)
	return ok
}

// letFall lets drops fall until so many of a titrant have: Space was pressed.
func (s *Session) letFall(in intent.Intent) error {
	if !s.drips() || !(in.Drops > 0) {
		return nil
	}
	if s.giving == nil {
		drops := in.Drops
		if o := s.keeper.State.Order(); o != nil && o.Titrant == in.Titrant {
			drops = math.Max(o.Drops, in.Drops)
		}
		if err := s.beginGiving(in.Titrant, drops); err != nil {
			return err
		}
	}
	g := s.giving
	for g.Fallen < g.Drops && g.Fallen < in.Drops {
		g.fall()
	}
	for g.Drops+g.extra < in.Drops {
		if err := s.bench.Dispense(g.Titrant, 1, 0); err != nil {
			return err
		}
		g.extra++
	}
	return nil
}

// give begins to let an addition fall that is recorded when all of it is in. Of
// what Space let fall it takes the rest; when that was another amount, what is
// recorded is put in its place.
func (s *Session) give(in intent.Intent, a journal.Addition, t float64) error {
	if g := s.giving; g != nil && (g.Titrant != a.Titrant || g.Drops != a.Drops || g.extra > 0) {
		if err := s.takeBack(); err != nil {
			return err
		}
		if err := s.bench.Dispense(a.Titrant, a.Drops, chem.Volume(a.ML)*chem.Millilitre); err != nil {
			return err
		}
		s.giving = nil
		return s.record(in, t)
	}
	if s.giving == nil {
		if err := s.beginGiving(a.Titrant, a.Drops); err != nil {
			return err
		}
	}
	if o := s.keeper.State.Order(); o != nil && o.Titrant == a.Titrant {
		if err := s.dose(t); err != nil {
			return err
		}
	}
	s.giving.told, s.giving.in, s.giving.next = true, in, t
	return s.drip(t)
}

// drip lets fall what is due, and records the addition after its last drop.
func (s *Session) drip(t float64) error {
	g := s.giving
	if g == nil || !g.told {
		return nil
	}
	for g.Fallen < g.Drops && t >= g.next {
		g.fall()
		g.next += dropEvery
	}
	if g.Fallen < g.Drops {
		return nil
	}
	s.giving = nil
	return s.record(g.in, t)
}

// finish lets all that is left fall at once: the run is being closed.
func (s *Session) finish(t float64) error {
	if g := s.giving; g != nil && g.told {
		g.next = math.Inf(-1)
		return s.drip(t)
	}
	return nil
}

// takeBack takes what Space let fall out of the simulated beaker again.
func (s *Session) takeBack() error {
	g := s.giving
	if g == nil {
		return nil
	}
	for ; g.extra > 0; g.extra-- {
		if err := s.bench.Retract(g.Titrant, 1, 0); err != nil {
			return err
		}
	}
	s.giving = nil
	return s.bench.Retract(g.Titrant, g.Drops, 0)
}

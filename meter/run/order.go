package run

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/probe/sift"
	"example.org/halfdrop/meter/run/electrode"
	"example.org/halfdrop/meter/run/given"
	"example.org/halfdrop/meter/run/order"
	"example.org/halfdrop/meter/run/still"
	"example.org/halfdrop/meter/run/view"
)

// Figures of judgement about orders, a choice of this project.
const (
	orderStays = 5.0 // s between two changes of an order
	aimMoved   = 0.5 // of the tolerance, by which the aim may move with the temperature
	hinted     = 0.2 // of a first movement, from which on an order is not changed
)

// advised takes an advice that was given: an addition becomes the order.
func (s State) advised(e journal.Event) State {
	a := *e.Advice
	if a.Do == coach.Check.String() && (!s.isAsked() || s.advice.Reason != a.Reason) {
		s.asks = &question{e.T, s.estimate(e.T)}
	}
	s.advice = &a
	if s.yields = nil; a.Do == coach.Stop.String() {
		est := s.estimate(e.T)
		s.yields = s.bench.Yields(s.Closed(est))
		s.done = &done{view.Value{PH: est.Now, SD: est.SD, T: s.last.t}, s.entries.Count()}
	} else if a.Do == coach.Add.String() {
		s.done = nil
	}
	switch {
	case a.Reason == coach.Unsaid.String() || a.Reason == coach.Dosing.String() && s.order.Advice != nil:
		return s // it is the same order
	case s.order.Left && a.Do != coach.Add.String():
		return s // until it is known what became of it
	case s.order.Advice != nil && a.Do == coach.Wait.String() && s.goesAgainst(e.T):
		return s // it is asked about once it stands
	case s.order.Advice != nil && s.silent(a.Reason):
		return s // somebody may be carrying it out meanwhile
	case s.order.Advice != nil && !s.order.Left && a.Do == coach.Add.String() && s.order.Same(given.Counted(s.Setup, a)):
		o := given.Counted(s.Setup, a)
		s.order.Advice, s.order.Aim = &o, s.forecast.Aim
		return s // it stands still
	case a.Do != coach.Add.String():
		s.order = order.Standing{}
		s.track = s.track.Await(0)
		return s
	}
	was, o := 0.0, given.Counted(s.Setup, a)
	if old := s.order.Advice; old != nil && old.Titrant == a.Titrant && old.Drops != o.Drops {
		if was = old.Drops; a.Drops == 0 {
			was = 0 // it is given in mL
		}
	} else if old == nil || s.order.Left {
		s.track = s.track.Excuse() // what moved before is not its doing
	}
	est, j := s.estimate(e.T), max(0, given.StockOf(s.Setup, a.Titrant))
	s.led = true
	s.order = order.Standing{Advice: &o, Stock: j, Pull: s.pull(j), ByML: s.Setup.Stocks[j].ByML, T: e.T, Aim: s.forecast.Aim, Was: was, Est: est, Blind: s.bench.Unweighed && s.entries.Count() == 0}
	s.track = s.track.Await(s.order.Pull)
	return s
}

// goesAgainst reports whether the reading goes against the order that stands.
func (s *State) goesAgainst(t float64) bool {
	_, against := s.order.Against(s.beaker(s.estimate(t), t))
	return against
}

// begins notes when the first drops of the order that stands showed, which the noise may hide again,
// and when the latest did.
func (s *State) begins(t float64) {
	if s.order.Advice == nil {
		return
	}
	s.order.Passes(s.last.ph, t, s.track.Interval())
	if len(s.track.Moves()) == 0 {
		return
	}
	if s.order.Begun > 0 {
		s.order.GoesOn(s.estimate(t), t)
		return
	}
	c := *s // what the beaker asks keeps the state alive, and not each one that a reading is folded into
	b := c.beaker(c.estimate(t), t)
	if _, against := c.order.Against(b); against {
		s.order.Astray = true
	} else if _, falls := c.order.Falling(b); falls {
		s.order.Begun = t
	}
}

// Given is the latest advice that was given since the composition changed; nil for none.
// It must not be changed.
func (s State) Given() *journal.Advice { return s.advice }

// Order is the advice of the order that stands; nil when none does. It must not be changed.
func (s State) Order() *journal.Advice { return s.order.Advice }

// Falls reports whether somebody said that the first drop of the order falls.
func (s State) Falls() bool { return s.order.Dosed > 0 }

// silent reports whether an advice says that nothing comes from the meter, and nothing of
// the beaker. What was ordered stands when readings come again, if it is still right.
func (s *State) silent(reason string) bool {
	return reason == coach.Stale.String() || reason == coach.Faulty.String() && s.down(s.T)
}

// pull is the direction in which a bottle moves the reading.
func (s *State) pull(stock int) float64 {
	return math.Copysign(1, s.bench.LabelledCharge(coach.Addition{Stock: stock, Volume: 1}))
}

// dose takes the word of a person that the first drop falls.
func (s State) dose(e journal.Event) State {
	s.order.Dosed = e.T
	s.track = s.track.Dose(e.T)
	return s
}

// decline takes the word of a person that nothing of the order was given. What
// moved meanwhile has been looked at.
func (s State) decline(e journal.Event) State {
	if s.advice == nil || s.advice.Reason != coach.Unsaid.String() { // else it was asked about: nothing was given yet
		s.refusals = s.refusals.Again(&s.order)
	}
	s.order, s.advice = order.Standing{}, nil
	s.track = s.track.Await(0).Excuse()
	s.eye = s.eye.Broken(e.T)
	return s
}

// aside are the stocks that are not to be had.
func (s *State) aside() []int { return s.refusals.Aside(s.Setup.Stocks) }

// immerse takes the word of a person that the electrode is in the beaker now.
func (s State) immerse(e journal.Event) State {
	if s.order.Dosed > 0 || s.order.Left { // it was rinsed while drops fall: that says nothing of the order
		s.order.Rinsed = true
	} else if s.order.Begun > 0 { // drops, or the electrode as it came out: what it shows in the beaker will tell
		s.order.Rinsed, s.order.Left = true, true
		s.order.T, s.order.Was, s.order.Begun, s.reads = e.T, 0, 0, 0
	} else {
		s.order = order.Standing{}
	}
	if en, ok := s.Latest(); ok && s.isAsked() && s.advice.Reason == coach.Moved.String() {
		s.said = s.said.IsIn(en.Seq)
	}
	s.advice, s.led = nil, s.order.Advice != nil
	s.track, s.putIn = s.track.Await(0).Immerse(e.T), true
	if s.away.On() { // where the electrode stood in between it has not seen
		s.away, s.track = electrode.Check{}, probe.Track(s.track.Electrode())
	}
	s.still, s.sieve = still.Repeats{}, sift.Sieve{}
	s.eye = s.eye.Placed(e.T)
	return s
}

// beaker is what shows of the beaker around the order.
func (s *State) beaker(est probe.Estimate, now float64) *order.Beaker {
	b := order.Beaker{T: now, Est: est, Moves: s.moves(), WildAt: math.NaN(), Resolution: s.track.Resolution(), ByHand: s.byHand, Back: s.last.back, Shown: s.last.ph}
	if n, at := s.sieve.Wild(); n > 0 {
		b.WildAt = at
	}
	b.Drops = func(from, to float64) float64 {
		return s.bench.DropsBetween(s.history(), s.order.Stock, chem.PH(from), chem.PH(to))
	}
	return &b
}

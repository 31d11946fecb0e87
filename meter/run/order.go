package run

import (
	"math"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/electrode"
	"example.org/halfdrop/meter/run/given"
	"example.org/halfdrop/meter/run/still"
	"example.org/halfdrop/meter/run/view"
)

// order is an addition that was advised and stands until it is carried out,
// declined or overtaken.
type order struct {
	advice *journal.Advice // nil when none stands
	stock  int
	t      float64        // s, when it was given
	dosed  float64        // s, when somebody said that its first drop falls; 0 when nobody has
	est    probe.Estimate // of the reading then
	was    float64        // drops of the order that it replaced while nothing had fallen; 0 for none
	rinsed bool           // the electrode was put in again while it was carried out
}

// is reports whether an addition is what was ordered.
func (o *order) is(a *journal.Addition) bool {
	if o.advice == nil || o.advice.Titrant != a.Titrant {
		return false
	}
	return o.advice.Drops == a.Drops || a.Drops == 0 && math.Abs(o.advice.ML-a.ML) < 1e-6
}

// Figures of judgement about orders, a choice of this project.
const (
	orderStays = 5.0  // s between two changes of an order
	hinted     = 0.2  // of a first movement, from which on an order is not changed
	askAfter   = 12.0 // s at rest before it is asked whether what was ordered was given
	askTold    = 30.0 // s after a first drop was told, when nothing moves
	askWay     = 40.0 // s after it came to rest, where the reading is still on its way, or drops are still to fall
	askUnseen  = 60.0 // s after an order, when the reading has come nearer though no movement was seen
	flickers   = 1.5  // digits by which a value that is read off may go to and fro
	showsFrom  = 2.0  // s before an order from which on a movement may be its doing: it was on the screen
)

// advised takes an advice that was given: an addition becomes the order.
func (s State) advised(e journal.Event) State {
	a := *e.Advice
	if a.Do == coach.Check.String() && (!s.isAsked() || s.advice.Reason != a.Reason) {
		s.asks = &question{e.T, s.track.Estimate(e.T)}
	}
	s.advice = &a
	if s.yields = nil; a.Do == coach.Stop.String() {
		est := s.track.Estimate(e.T)
		s.yields = s.bench.Yields(s.closedBy(est))
		s.done = &done{view.Value{PH: est.Now, SD: est.SD, T: s.last.t}, s.entries.Count()}
	} else if a.Do == coach.Add.String() {
		s.done = nil
	}
	switch {
	case a.Reason == coach.Unsaid.String(), a.Reason == coach.Dosing.String() && s.order.advice != nil:
		return s // it is the same order
	case s.order.advice != nil && s.silent(a.Reason):
		return s // somebody may be carrying it out meanwhile
	case s.order.advice != nil && a.Do == coach.Add.String() && s.same(given.Counted(s.Setup, a)):
		return s // it stands still
	case a.Do != coach.Add.String():
		s.order = order{}
		s.track = s.track.Await(0)
		return s
	}
	was, o := 0.0, given.Counted(s.Setup, a)
	if old := s.order.advice; old != nil && old.Titrant == a.Titrant && old.Drops != o.Drops {
		if was = old.Drops; a.Drops == 0 {
			was = 0 // it is given in mL
		}
	} else if old == nil {
		s.track = s.track.Excuse() // what moved before is not its doing
	}
	est := s.track.Estimate(e.T)
	s.led = true
	s.order = order{advice: &o, stock: max(0, given.StockOf(s.Setup, a.Titrant)), t: e.T, was: was, est: est}
	s.track = s.track.Await(s.pull(s.order.stock))
	return s
}

// Given is the latest advice that was given since the composition changed; nil for none.
// It must not be changed.
func (s State) Given() *journal.Advice { return s.advice }

// Order is the advice of the order that stands; nil when none does. It must not be changed.
func (s State) Order() *journal.Advice { return s.order.advice }

// Falls reports whether somebody said that the first drop of the order falls.
func (s State) Falls() bool { return s.order.dosed > 0 }

// same reports whether an addition is the order that stands.
func (s *State) same(a journal.Advice) bool {
	o := s.order.advice
	return a.Titrant == o.Titrant && a.Drops == o.Drops && a.ML == o.ML
}

// silent reports whether an advice says that nothing comes from the meter, and nothing of
// the beaker. What was ordered stands when readings come again, if it is still right.
func (s *State) silent(reason string) bool {
	return reason == coach.Stale.String() || reason == coach.Faulty.String() && (s.link.State == "lost" || s.link.State == "quiet")
}

// pull is the direction in which a bottle moves the reading.
func (s *State) pull(stock int) float64 {
	return math.Copysign(1, s.bench.LabelledCharge(coach.Addition{Stock: stock, Volume: 1}))
}

// dose takes the word of a person that the first drop falls.
func (s State) dose(e journal.Event) State {
	s.order.dosed = e.T
	s.track = s.track.Dose(e.T)
	return s
}

// decline takes the word of a person that nothing of the order was given. What
// moved meanwhile has been looked at.
func (s State) decline(e journal.Event) State {
	s.order, s.advice = order{}, nil
	s.track = s.track.Await(0).Excuse()
	s.eye = s.eye.Broken(e.T)
	return s
}

// immerse takes the word of a person that the electrode is in the beaker now.
func (s State) immerse(e journal.Event) State {
	if s.order.dosed > 0 { // it was rinsed while drops fall: that says nothing of the order
		s.order.rinsed = true
	} else {
		s.order = order{}
	}
	s.advice, s.led = nil, s.order.advice != nil
	s.track = s.track.Await(0).Immerse(e.T)
	if s.away.On() { // where the electrode stood in between it has not seen
		s.away, s.track = electrode.Check{}, probe.Track(s.track.Electrode())
	}
	s.still, s.sieve = still.Repeats{}, probe.Sieve{}
	s.eye = s.eye.Placed(e.T)
	return s
}

// falling reports whether the order that stands is being carried out: somebody
// said so, or the reading moves as it should.
func (s *State) falling(est probe.Estimate, now float64) (f view.Falling, ok bool) {
	o := &s.order
	if o.advice == nil {
		return f, false
	}
	for _, m := range s.track.Moves() {
		if m.From < o.t-showsFrom || !m.Told && s.onward(m, s.now(est)) <= 0 {
			continue
		}
		if !ok {
			f.Since = m.From
		}
		f.Rest = !math.IsNaN(m.To) && est.State != probe.Moving
		f.Asks = f.Rest && now-m.Rested >= s.askAfter() && (o.dosed == 0 || now-o.dosed >= askAfter) && (now-m.Rested >= askWay || !s.goesOn(est, f.Since, m.Before.End, now)) && (s.stands(est, m.Before.End, now) || now-m.Rested >= askWay)
		ok = true
	}
	if !ok && o.dosed > 0 {
		f = view.Falling{Since: o.dosed, Rest: est.State != probe.Moving, Asks: now-o.dosed >= s.askTold()}
		ok = true
	}
	if !ok && s.unseen(est, now) {
		f = view.Falling{Since: o.t, Rest: true, Asks: true}
		return f, true
	}
	if f.Asks {
		f.Like = s.like(est)
	}
	return f, ok
}

// goesOn reports whether more drops are likely to fall: so few have shown, and so
// little time has passed, that somebody slow may be in the middle of it. A meter with
// two decimals stands still between drops.
func (s *State) goesOn(est probe.Estimate, since, before, now float64) bool {
	o := s.order.advice
	if o.Drops <= 0 || s.byHand || s.Setup.Stocks[s.order.stock].ByML || now-since >= slowDrop*o.Drops {
		return false
	}
	// In drops, not in pH: into a steep part of the curve the first few go most of the way.
	n := s.bench.DropsBetween(s.history(), s.order.stock, before, est.End)
	return !(n >= nearlyAll*o.Drops)
}

// stands reports whether the reading is about where it ends, and was not wild just now:
// what still goes a long way may be drops that fall evenly, and does not look at rest to
// anybody.
func (s *State) stands(est probe.Estimate, before, now float64) bool {
	if n, at := s.sieve.Wild(); n > 0 && now-at < askAfter/2 {
		return false
	}
	return math.Abs(est.End-est.Now) <= math.Max(standsBy, standsOf*math.Abs(est.End-before))
}

// How far from its end a reading may be to be called at rest, pH, and as part of its way.
const (
	standsBy = 0.05
	standsOf = 0.05
)

// slowDrop is how long a drop of a slow hand takes, s: one to three fall in a second
// (measured). nearlyAll is how much of what an order does looks like all of it.
const (
	slowDrop  = 1.3
	nearlyAll = 0.8
)

// unseen reports whether the order looks as if it had been given long ago, with no
// movement that could be told from the noise.
func (s *State) unseen(est probe.Estimate, now float64) bool {
	return now-s.order.t >= askUnseen && est.State != probe.Moving && len(s.track.Moves()) == 0 && s.nearer(est)
}

// begins reports whether the first drops of the order may be what shows: the reading ends
// nearer to the aim than it seemed to, and whoever began at once would still be at it. Too
// small a movement to be told from creep by itself, and the wrong moment to change a number.
func (s *State) begins(est probe.Estimate, now float64) bool {
	was, dir := s.order.est, s.pull(s.order.stock)
	return now-s.order.t <= reachFor+slowDrop*s.order.advice.Drops && (est.End-was.End)*dir > begunSDs*was.SD
}

// How long it takes somebody to reach for the bottle and a drop to mix, s, and how far the
// end of a reading moves by it at the least, in standard deviations.
const (
	reachFor = 10.0
	begunSDs = 0.25
)

// nearer reports whether the reading stands nearer to the aim than it did when
// the order was given: small additions hide in the noise.
func (s *State) nearer(est probe.Estimate) bool {
	was, dir := s.order.est, s.pull(s.order.stock)
	if s.byHand { // what is typed tells, but for a digit, and for what the electrode creeps
		return (est.Now-was.Now)*dir > math.Max(flickers*s.resolution(), (was.End-was.Now)*dir)
	}
	return (est.End-was.End)*dir > was.SD
}

// now is where the reading is, moving or not.
func (s *State) now(est probe.Estimate) float64 {
	if est.State == probe.Moving {
		return est.Now
	}
	return est.End
}

// like is how many drops of the order the reading has moved by, when that is
// quite another number than was ordered.
func (s *State) like(est probe.Estimate) float64 {
	moves := s.track.Moves()
	if len(moves) == 0 {
		return 0
	}
	n := s.bench.DropsBetween(s.history(), s.order.stock, moves[0].Before.End, est.End)
	if r := n / s.order.advice.Drops; r > likeLow && r < likeHigh || !(n >= 0.5) {
		return 0
	}
	return math.Round(n)
}

// Between these shares of the order a movement is taken to be its doing.
const (
	likeLow  = 0.55
	likeHigh = 1.8
)

package probe

import (
	"math"
	"slices"

	"example.org/halfdrop/meter/probe/sift"
)

// Figures of judgement of what is on record, a choice of this project.
const (
	stepTimes = 2.0  // times the step that is expected: what an addition may do
	stepLeast = 0.05 // pH
	soonAfter = 0.5  // s: an addition said to have begun so shortly before is one at once
	seemsZ    = 2.0  // of the CUSUM of an order: it has begun to fall, when somebody says so
	mixes     = 20.0 // s after an addition in which what moves belongs to it
	takeMost  = 1.5  // times what an addition takes to fall as a rule
	sayMost   = 10.0 // s from the last drop until it is put on record
	toldEarly = 3.0  // s before a first drop was told from which on what moves may be that
)

// Addition is an addition on record.
type Addition struct {
	Seq     int64   // its number, above 0
	T       float64 // s, when it was said
	From    float64 // s, when it is said to have begun; NaN when nobody says
	Step    float64 // pH by which it is expected to move the end value
	SD      float64 // give or take
	Ordered float64 // s, when it was ordered: nothing of it fell before; 0 when it was not
	Take    float64 // s that it may still take to fall when nothing of it shows yet
	// Before is what was known before it, when the readings have long shown it
	// without a movement that could be told from the noise; else nil.
	Before *Estimate
}

// soonest is when the first drop can have fallen, s, if nothing showed before, or a
// little before it is said to have; not before somebody was asked for it.
func (a *Addition) soonest() float64 {
	t := math.Max(a.T-takeMost*a.Take-sayMost, a.Ordered)
	if a.From-toldEarly < t {
		return a.From - toldEarly
	}
	return t
}

// doubt is the spread of what was before it, where all readings may be from after it.
func (a *Addition) doubt(sd float64) float64 { return math.Hypot(sd, math.Abs(a.Step)+a.SD) }

// Given is what an addition on record found.
type Given struct {
	From   float64  // s, when it began to show, or to fall
	Before Estimate // of the end value until then
}

// Give notes that an addition is in the beaker. What has moved since the last
// one with nothing on record belongs to it.
func (k Tracker) Give(a Addition) (Tracker, Given) {
	k, g := k.give(a)
	k.level, k.found = g.Before.End, g
	return k, g
}

func (k Tracker) give(a Addition) (Tracker, Given) {
	k = k.close()
	k.back, k.expects, k.owner, k.owns, k.falls, k.way, k.said = 0, 0, a.Seq, a.T+mixes, a.T+mixes, sign(a.Step), a.T
	switch {
	case a.Before != nil && (k.typed || k.bank != nil):
		k.ref = nil
		k.takes(&a)
		if k.free {
			k.rests(&a)
		}
		return k, Given{From: a.From, Before: *a.Before}
	case k.typed:
		return k.giveRead(a)
	case k.bank == nil:
		return k, Given{From: a.T, Before: k.Estimate(a.T)}
	}
	switch { // it begins to show
	case a.From < a.T-soonAfter && !slices.ContainsFunc(k.moves, func(m Move) bool { return m.of(&a) }):
		k.cutTold(a.From)
		m := &k.moves[len(k.moves)-1]
		if k.left.t >= a.From {
			m.Before.SD = a.doubt(m.Before.SD)
		}
	case len(k.held) > 0 && k.free: // it goes on as it did
		o := k.held[0]
		k.moving(o)
	case len(k.held) > 0:
		k.cut(k.held[0].t)
	case k.ref != nil && k.first.sum > seemsZ:
		k.cut(k.first.since)
	}
	g := k.takes(&a)
	switch {
	case math.IsNaN(g.From): // nothing shows, or it is not to be told from the noise
		g = Given{From: a.T, Before: k.untouched(a)}
		k.awaits(&a, a.Step)
	case k.lacks(&a, g.Before) != 0:
		k.awaits(&a, k.lacks(&a, g.Before))
		k.restsAt(a.T)
	case k.free:
		k.rests(&a)
	}
	k.ref = nil
	return k, g
}

// takes lets an addition own the movements that it may have made, and returns what the first of
// them found; From is NaN for none.
func (k *Tracker) takes(a *Addition) Given {
	g := Given{From: math.NaN()}
	k.moves = slices.Clone(k.moves)
	for i := range k.moves {
		if m := &k.moves[i]; m.Owner == a.Seq || m.of(a) {
			m.Owner = a.Seq
			if math.IsNaN(g.From) {
				g = Given{From: m.From, Before: m.Before}
			}
		}
	}
	return g
}

// rests ends a movement by the word that all of an addition is in.
func (k *Tracker) rests(a *Addition) {
	k.bank, k.free, k.rest = k.bank.loosened(), false, nil
	k.restsAt(a.T)
	k.anchor()
}

// awaits expects of the readings to come a step that an addition does, or may not do.
func (k *Tracker) awaits(a *Addition, step float64) {
	k.falls += a.Take
	v := stepTimes*math.Abs(a.Step) + a.SD + stepLeast
	k.bank, k.free, k.rest = k.bank.changed(step, v*v), false, nil
	k.anchor()
}

// restsAt ends the latest movement.
func (k *Tracker) restsAt(t float64) {
	m := &k.moves[len(k.moves)-1]
	m.To, m.Rested = t, t
}

// lacks is what the readings lack, pH, of the step that an addition is expected to do whose
// first drop was told, where they show little of it yet: of a slow electrode, or a meter that
// sends now and then. 0 for nothing.
func (k *Tracker) lacks(a *Addition, before Estimate) float64 {
	m := k.moves[len(k.moves)-1]
	if left := a.Step - (k.bank.sum().end - before.End); m.Told && m.Owner == a.Seq && math.Abs(left) > littleShown*math.Abs(a.Step) {
		return left
	}
	return 0
}

// littleShown, a choice of this project, is which part of a step that is expected has not shown yet where little of it has.
const littleShown = 0.5

// untouched is the estimate from the readings before the first drops can have fallen of
// an addition of which nothing shows: small ones hide in the noise. They fall after they
// were ordered. Where next to no reading is from before, it is the one of now, give or
// take the addition.
func (k *Tracker) untouched(a Addition) Estimate {
	from := a.soonest()
	if k.ref != nil {
		from = math.Max(from, math.Nextafter(k.ref.t, math.Inf(1)))
	}
	now := k.Estimate(a.T)
	now.SD = a.doubt(now.SD)
	b, _ := k.before(from)
	if e := b.estimate(k); b.t < from && e.SD <= now.SD {
		return e
	}
	return now
}

// of reports whether the movement may be what an addition did: small ones seem to go back
// to where the reading was.
func (m *Move) of(a *Addition) bool { return m.free() || m.Owner == 0 && m.From >= a.soonest() }

// free reports whether nothing on record explains the movement.
func (m *Move) free() bool { return m.Owner == 0 && !m.Back }

// Release notes that the latest addition was withdrawn: what it explained is open again, also
// what came after it was put on record, where no movement was looked for.
func (k Tracker) Release(seq int64) Tracker {
	k.moves = slices.Clone(k.moves)
	owned := false
	for i := range k.moves {
		if m := &k.moves[i]; m.Owner == seq {
			m.Owner, owned = 0, true
		}
	}
	if !owned && k.owner == seq && !k.typed && k.found.Before.State != Empty {
		k.moves = append(k.moves, Move{From: k.found.From, Before: k.found.Before, To: k.said, Rested: k.said})
	}
	return k
}

// Excuse notes that a person has looked at what moved by itself.
func (k Tracker) Excuse() Tracker {
	k.back = 0
	k.moves = slices.Clone(k.moves)
	for i := range k.moves {
		if k.moves[i].free() {
			k.moves[i].Owner = Nobody
		}
	}
	return k
}

// Await says in which direction an order that stands will move the reading: a
// movement that way is believed sooner. 0 ends it.
func (k Tracker) Await(dir float64) Tracker {
	if k.expects = dir; dir == 0 || k.free {
		k.ref = nil
	} else {
		k.ref, k.first = k.bank, cusum{}
	}
	return k
}

// Hint is how much speaks for the first drops of an order that stands to have
// fallen, from 0 to 1.
func (k *Tracker) Hint() float64 { return math.Min(k.first.sum/awaitZ, 1) }

// Dose notes at time t that an addition begins to fall.
func (k Tracker) Dose(t float64) Tracker {
	k = k.close()
	if k.bank == nil || k.free || k.typed {
		return k
	}
	k.cutTold(t)
	return k
}

// Immerse notes at time t that the electrode has just been put into the beaker:
// nothing from before speaks of it.
func (k Tracker) Immerse(t float64) Tracker {
	k = k.close().Excuse()
	k.putIn = t
	switch {
	case k.typed:
		k.unread, k.stood = true, false
		k.lags, k.gone = k.lags.placed(t, k.resolution), nil
		return k
	case k.bank == nil:
		return k
	}
	// Where nothing but what was given has moved it, it was out for a moment or not at all.
	kept := !k.free && (len(k.moves) == 0 || k.ownsLast())
	k.bank, k.free, k.rest, k.sieve = k.bank.placed(0, 0, startSD, kept), false, nil, sift.Sieve{}
	k.anchor()
	return k
}

// Moves are the movements that nothing on record explains, the latest last.
func (k *Tracker) Moves() []Move {
	var out []Move
	for _, m := range k.moves {
		if m.free() {
			out = append(out, m)
		}
	}
	return out
}

// RestedAfter is since when the beaker has been at rest after an addition on record, s; +Inf
// where that did not show, or something has moved since.
func (k *Tracker) RestedAfter(seq int64) float64 {
	if n := len(k.moves); n > 0 && k.moves[n-1].Owner == seq && !math.IsNaN(k.moves[n-1].To) {
		return k.moves[n-1].To
	}
	return math.Inf(1)
}

// Moving reports whether beaker or electrode are being changed, or seem to
// begin to.
func (k *Tracker) Moving() bool { return k.free || len(k.held) > 0 }

// Changing reports whether beaker or electrode are being changed for sure.
func (k *Tracker) Changing() bool { return k.free }

// Interval is how often the meter sends, s; 0 before two readings.
func (k *Tracker) Interval() float64 { return k.interval }

// Wild is how many readings were left out as wild, and when the last of them
// was known for one, s.
func (k *Tracker) Wild() (n int, at float64) {
	n, at = k.sieve.Wild()
	return k.wild + n, math.Max(k.wildAt, at)
}

// Electrode is what has been learned of the electrode.
func (k *Tracker) Electrode() Electrode {
	if k.bank == nil {
		return *k.know
	}
	return k.bank.electrode()
}

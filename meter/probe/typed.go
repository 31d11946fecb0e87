package probe

import (
	"math"
	"slices"
)

// Figures of judgement of values that a person reads off a display and types, a
// choice of this project.
const (
	readSD = 0.004 // pH, how well a number that flickers is read off in passing
	// Two values of one composition that are so far apart in time, s, and by no more
	// than a digit in pH, stand as well, though nobody has watched the display.
	standApart = 18.0
	leftBy     = 0.05 // pH, by which a value has left the one before it at the least
)

// Type takes a value that a person has read off the display at time t, s. Such
// values come one by one, minutes apart: each counts, and none is held back. That the
// display stands says that its fast part is over, and what it may still creep.
func (k Tracker) Type(t, y float64, stands bool) Tracker {
	k = k.close()
	k.rhythm(t)
	k.typed, k.free, k.rest, k.held = true, false, nil, nil
	before, moved := k.latest, false
	k.latest = obs{t, y}
	if k.lags == nil { // also where a line was read before
		k.lags, k.changed = newLags(t, k.resolution), t-keptFor
	} else {
		moved = k.leaves(before)
	}
	stands = stands && t-k.changed >= watched // before, nobody can have watched it
	k.lags = k.lags.read(t, y, k.resolution, stands)
	k.stood = stands || k.repeats(before)
	k.unread = false
	switch e := k.Estimate(t); {
	case moved:
		k.goneBack(e)
	case k.back > 0:
		k.isBack(e, e.State == Settled)
	}
	return k
}

// repeats reports whether the latest value says the same as the one before it.
func (k *Tracker) repeats(before obs) bool {
	digit := 1.01 * math.Max(k.resolution, readSD)
	return !k.unread && before.t > k.changed && k.latest.t-before.t >= standApart && math.Abs(k.latest.y-before.y) <= digit
}

// leaves reckons with it where the latest value is far from what is known of beaker and
// electrode: an addition has led elsewhere, or the beaker was changed with nothing on record,
// at a time that nobody knows. It reports the latter; before is the value before it.
func (k *Tracker) leaves(before obs) bool {
	t, y := k.latest.t, k.latest.y
	mean, sd := k.lags.due(t, k.resolution)
	off := math.Abs(y - mean)
	far := math.Max(off, leastUnseen)
	switch {
	case off <= elsewhereSDs*sd:
	case k.unread && k.gone != nil:
		k.lags = k.gone.changed(k.lags.t, k.lags.t, y-k.gone.end, far, k.resolution)
	case !k.unread && off > leftBy:
		half := (k.lags.t + t) / 2
		was := k.Estimate(half)
		was.Now = before.y
		level := k.stood || before.t > k.said+mixes // else the addition was mixing in when it was typed
		if level {
			k.moves = append(slices.Clip(k.moves), Move{From: half, Before: was, To: t, Rested: t})
			k.changed = half
		}
		k.lags = k.lags.changed(half, half, 0, far, k.resolution)
		return level
	}
	return false
}

// read is what the typed values say of the end value.
func (k *Tracker) read() Estimate {
	l := k.lags
	e := Estimate{State: Settling, End: l.end, SD: l.sd, FinalSD: l.better, Now: k.latest.y, Noise: math.Hypot(readSD, 0.29*k.resolution)}
	ln := 0.0
	for i := range l.each {
		n := &l.each[i]
		ln += n.w * math.Log(n.fast)
		e.Late += n.w * n.share
	}
	e.Tau = math.Exp(ln)
	if !k.unread && (k.stood || e.SD <= math.Max(nearly*e.FinalSD, readySD)) {
		e.State = Settled
	}
	return e
}

// Unread reports whether the beaker was changed and nobody has typed since what
// the display shows.
func (k Tracker) Unread() bool { return k.typed && k.unread }

// Stands reports whether the latest value was said to stand.
func (k Tracker) Stands() bool { return k.stood }

// ByHand reports whether the values are typed.
func (k Tracker) ByHand() bool { return k.typed }

// giveRead is Give where values are typed: nothing shows before somebody looks.
func (k Tracker) giveRead(a Addition) (Tracker, Given) {
	g := Given{From: a.T}
	if a.From < a.T {
		g.From = a.From
	}
	k.moves = slices.Clone(k.moves)
	found := false
	for i := range k.moves {
		if m := &k.moves[i]; m.free() {
			m.Owner = a.Seq
			if !found {
				found, g = true, Given{From: m.From, Before: m.Before}
			}
		}
	}
	switch way := math.Abs(k.latest.y - g.Before.Now); {
	case found && k.stood: // what was typed since is of the beaker with it
		return k, g
	case found: // in passing, while it fell
		k.gone = k.lags
		k.lags = k.lags.changed(g.From, a.T, 0, math.Max(way, leastUnseen), k.resolution)
	default:
		g.Before = k.Estimate(a.T)
		off := givenPart*math.Abs(a.Step) + givenTimes*a.SD + givenLeast
		k.gone = k.lags
		k.lags = k.lags.changed(a.T-givenAgo-a.Take, a.T-givenAgo, a.Step, off, k.resolution)
	}
	k.unread, k.stood, k.changed = true, false, a.T
	return k, g
}

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
	restingSD  = 0.010 // pH, what the fast part may lack when the display stands
	readFirm   = 60.0  // how firmly that is known, half of the degrees of freedom
	leftBy     = 0.05  // pH, by which a value has left the one before it at the least
	surprised  = 2.0   // times what it is off: how far the beaker may have gone then
)

// Type takes a value that a person has read off the display at time t, s. Such
// values come one by one, minutes apart: each counts, and none is held back. That the
// display stands says that its fast part is over, and what it may still creep.
func (k Tracker) Type(t, y float64, stands bool) Tracker {
	k = k.close()
	k.rhythm(t)
	k.typed, k.free, k.rest, k.held = true, false, nil, nil
	before := k.latest
	k.latest = obs{t, y}
	if k.lags == nil { // also where a line was read before
		k.lags = newLags(t, k.resolution)
	}
	if k.bank == nil {
		k.bank, k.changed = open(k.know, t, y, k.resolution).readOff(), t-keptFor
	} else {
		k.readAgain(t, y, before)
	}
	stands = stands && t-k.changed >= watched // before, nobody can have watched it
	k.lags = k.lags.read(t, y, k.resolution, stands)
	k.stood = stands || k.repeats(before)
	k.unread = false
	if k.stood {
		k.bank = k.bank.resting()
	}
	k.anchor()
	return k
}

// repeats reports whether the latest value says the same as the one before it.
func (k *Tracker) repeats(before obs) bool {
	digit := 1.01 * math.Max(k.resolution, readSD)
	return !k.unread && before.t > k.changed && k.latest.t-before.t >= standApart && math.Abs(k.latest.y-before.y) <= digit
}

// readAgain takes a value that is not the first; before is the one before it.
func (k *Tracker) readAgain(t, y float64, before obs) {
	if k.unread && k.gone != nil {
		k.lags = k.lags.unless(k.gone, t, y, k.resolution)
	}
	b := k.ahead(k.bank, t, wander).readOff()
	mean, v := b.expect(y)
	off := y - mean
	odd := math.Abs(off) > gateZ*math.Sqrt(v)
	from := k.bank
	switch {
	case odd && k.unread: // it has gone elsewhere than the addition was to lead
		if k.left != nil {
			from = k.left
		}
	case odd && math.Abs(off) > leftBy:
		// The beaker was changed with nothing on record, at a time that nobody knows.
		half := (k.bank.t + t) / 2
		from, k.changed = k.ahead(k.bank, half, wander), half
		was := k.Estimate(half)
		was.Now = before.y
		k.moves = append(slices.Clip(k.moves), Move{From: half, Before: was, To: t, Rested: t})
		k.lags = k.lags.changed(half, half, 0, math.Max(math.Abs(off), leastUnseen), k.resolution)
	default:
		b.learn(false)
		k.bank = b
		return
	}
	b = k.ahead(from.changed(off, surprised*surprised*off*off), t, wander).readOff()
	b.expect(y)
	b.learn(false)
	k.bank = b
	k.goneBack(k.bank.estimate(k))
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
	if found { // what was typed since is of the beaker with it
		return k, g
	}
	g.Before = k.Estimate(a.T)
	k.left = k.ahead(k.bank, a.T, wander)
	v := stepTimes*math.Abs(a.Step) + a.SD + stepLeast
	off := givenPart*math.Abs(a.Step) + givenTimes*a.SD + givenLeast
	k.gone = k.lags
	k.lags = k.lags.changed(a.T-givenAgo-a.Take, a.T-givenAgo, a.Step, off, k.resolution)
	k.bank, k.unread, k.stood, k.changed = k.left.changed(a.Step, v*v), true, false, a.T
	k.anchor()
	return k, g
}

// readOff is a bank whose noise is that of somebody who reads a display.
func (b *bank) readOff() *bank {
	out := *b
	for i := range out.hiss {
		out.hiss[i] = hiss{shape: readFirm, scale: readFirm * readSD * readSD}
	}
	return &out
}

// resting is a bank that has learned that the display stands: its fast part has come to
// rest, and its late part has not shown while it was watched.
func (b *bank) resting() *bank {
	out := b.clone()
	creep := readSD * math.Sqrt(watchedFor*watchedFor+2) // from one look to the other
	for i := range out.nodes {
		n := &out.nodes[i]
		n.rest(xFast, restingSD)
		n.rest(xLate, creep/math.Expm1(watched/lateGrid[n.late]))
	}
	out.trim()
	return out
}

// rest learns that a part is over, give or take sd.
func (n *node) rest(part int, sd float64) {
	n.res, n.pred = -n.x[part], n.p[part][part]+sd*sd
	n.logW += temper * n.logLik(0)
	var g [states]float64
	for j := range states {
		g[j] = n.p[j][part]
	}
	for j := range states {
		n.x[j] += g[j] * n.res / n.pred
		for l := range states {
			n.p[j][l] -= g[j] * g[l] / n.pred
		}
	}
}

package probe

import (
	"math"
	"slices"
)

// cut begins a movement that the readings show to have begun at t: what came from then on
// says nothing of the beaker before, nor what came a little earlier.
func (k *Tracker) cut(t float64) { k.cutFrom(t, cutBack*k.interval) }

// cutTold begins a movement of which somebody says that it began at t: however slowly the
// meter sends, that is known to a few seconds.
func (k *Tracker) cutTold(t float64) {
	k.cutFrom(t, math.Min(cutBack*k.interval, toldEarly))
	k.moves[len(k.moves)-1].Told = true
}

// cutFrom begins a movement at t, of which the readings from early, s, before that on may
// show something.
func (k *Tracker) cutFrom(t, early float64) {
	b, later := k.before(t - early)
	m := Move{From: t, Before: b.estimate(k), To: math.NaN()}
	if k.explains(t, sign(last(later)-m.Before.Now)) {
		m.Owner = k.owner
	}
	if t <= k.putIn+putInFor { // it was said before it was done
		m.Owner = Nobody
	}
	k.moves, k.left, k.back = append(slices.Clip(k.moves), m), b, 0
	k.bank, k.free, k.rest, k.ref = b.begun(), true, nil, nil
	k.anchor()
	for _, o := range later {
		k.counts(o)
	}
}

// putInFor is how long after somebody has said that the electrode is in the beaker, s, what
// moves is that.
const putInFor = 10.0

// explains reports whether the addition on record explains a movement in the
// direction dir that begins at t. What goes where an order leads that was given
// since is that order's doing, and what mixed until then does not turn round.
func (k *Tracker) explains(t, dir float64) bool {
	switch {
	case k.expects != 0:
		return t <= k.falls && dir == k.way && dir != k.expects
	case t <= k.owns:
		return true
	}
	return t <= k.falls && dir == k.way
}

func sign(x float64) float64 {
	switch {
	case x > 0:
		return 1
	case x < 0:
		return -1
	}
	return 0
}

// last is the latest of some readings; NaN for none.
func last(list []obs) float64 {
	if len(list) == 0 {
		return math.NaN()
	}
	return list[len(list)-1].y
}

// moving takes a reading while the beaker is being changed.
func (k *Tracker) moving(o obs) {
	b := k.ahead(k.bank, o.t, freeWander)
	mean, v := b.expect(o.y)
	z := (o.y - mean) / math.Sqrt(v)
	if math.Abs(z) > gateZ {
		if len(k.held) == 0 { // a single one is left out
			k.held = []obs{o}
			return
		}
		// It has gone faster than what was known of it allows: begin anew there.
		b = k.ahead(k.bank, o.t, freeWander).placed(o.y-mean, o.t-k.held[0].t+k.interval, 0, k.expects != 0 || k.ownsLast())
		b.expect(o.y)
		k.rest = nil
	} else if len(k.held) > 0 {
		k.wild, k.wildAt = k.wild+len(k.held), o.t
	}
	k.held = nil
	lik := b.learn(true)
	k.bank = b
	k.judgeRest(o, lik)
}

// ownsLast reports whether the latest movement is that of an addition on record.
func (k *Tracker) ownsLast() bool {
	n := len(k.moves)
	return n > 0 && k.moves[n-1].Owner > 0
}

// judgeRest sees whether the beaker has stopped changing; lik is the log
// density of the reading for one that has not.
func (k *Tracker) judgeRest(o obs, lik float64) {
	if k.rest == nil {
		k.rest = newRest(k.bank, o.t)
		return
	}
	r := *k.rest
	b := k.ahead(r.bank, o.t, wander)
	mean, v := b.expect(o.y)
	z := (o.y - mean) / math.Sqrt(v)
	r.up.push(o.t, z, restLet)
	r.down.push(o.t, -z, restLet)
	r.gain += b.learn(true) - lik
	r.bank, r.later = b, append(slices.Clip(r.later), o)
	k.rest = &r
	switch {
	case r.gain < -restWorse || math.Max(r.up.sum, r.down.sum) > restZ:
		k.rest = newRest(k.bank, o.t)
	case len(r.later) >= restReads && r.gain > 0 && (r.flat(b) || o.t-r.since > restTaus*b.tau()):
		k.comeToRest(r.since)
	}
}

// flat reports whether the readings of a rest show no slope: one that has come to
// rest already. What still comes near must have done so for longer, lest slow
// drops be taken for the way of the electrode.
func (r *rest) flat(b *bank) bool {
	slope, norm, _ := line(r.later)
	return math.Abs(slope)*norm < flatSDs*math.Sqrt(norm*b.sum().noise)
}

// tau is the time constant of the fast part, s.
func (b *bank) tau() float64 { return math.Exp(b.sum().lnFast) }

func newRest(b *bank, t float64) *rest { return &rest{start: b, bank: b, since: t} }

// comeToRest ends a movement: its last drops are still mixing in when the rest
// begins.
func (k *Tracker) comeToRest(since float64) {
	k.recent = k.rest.later
	b := k.rest.start.loosened()
	for _, o := range k.rest.later {
		b = k.ahead(b, o.t, wander)
		b.expect(o.y)
		b.learn(false)
	}
	k.restsAs(b, since)
}

// restsAs ends a movement with the bank of the beaker at rest since a time, s.
func (k *Tracker) restsAs(b *bank, since float64) {
	k.bank, k.free, k.rest = b, false, nil
	k.anchor()
	n := len(k.moves)
	if n == 0 || !math.IsNaN(k.moves[n-1].To) {
		return
	}
	k.moves = slices.Clone(k.moves)
	m := &k.moves[n-1]
	m.To, m.Rested = since, k.bank.t
	end := k.bank.estimate(k)
	if m.Owner > 0 && m.Owner == k.owner && k.turned(end.End) {
		m.Owner = 0
	}
	k.goneBack(end)
}

// turned reports whether a reading that came to rest at end lies beyond where it was before
// the latest addition: acid that has not mixed yet may turn round, but not that far.
func (k *Tracker) turned(end float64) bool { return k.way*(k.level-end) > turnedBy }

// turnedBy is from which on, pH, that is the doing of something else: of an electrode that
// was taken out.
const turnedBy = 0.2

// goneBack sees whether the reading has come back to where it was before an
// earlier movement: out of the beaker and in again is no movement at all.
func (k *Tracker) goneBack(now Estimate) {
	for i := range k.moves {
		if m := &k.moves[i]; m.free() && m.undone(now) {
			for j := i; j < len(k.moves); j++ {
				k.moves[j].Back = k.moves[j].Back || k.moves[j].Owner == 0
			}
			k.back = i + 1
			return
		}
	}
}

// undone reports whether the reading is where it was before the movement, as far as is known.
func (m *Move) undone(now Estimate) bool {
	return math.Abs(now.End-m.Before.End) < math.Max(backSDs*math.Hypot(now.SD, m.Before.SD), backBy)
}

// isBack sees whether a reading that seemed to have come back has, until it is known about
// as well as it will be: of a rough sensor the first readings at rest say little. One that
// goes on moving creeps, which is no movement of its own.
func (k *Tracker) isBack(now Estimate, ripe bool) {
	if i := k.back - 1; !k.moves[i].undone(now) && k.drift() == 0 {
		k.moves = slices.Clone(k.moves)
		for j := i; j < len(k.moves); j++ {
			k.moves[j].Back = false
		}
		ripe = true
	}
	if ripe || k.heard-k.moves[len(k.moves)-1].Rested > backFor {
		k.back = 0
	}
}

// When a reading has come back to where it was, standard deviations and pH.
const (
	backSDs = 2.5
	backBy  = 0.012
	backFor = 30.0 // s at rest, until which it may turn out that it has not
)

package order

import (
	"math"

	"example.org/halfdrop/meter/probe"
	"example.org/halfdrop/meter/run/view"
)

// Falling reports whether the order that stands is being carried out: somebody
// said so, or the reading moves as it should.
func (o *Standing) Falling(b *Beaker) (f view.Falling, ok bool) {
	if !o.Stands() {
		return f, false
	}
	if o.Left {
		return o.left(b)
	}
	for _, m := range b.Moves {
		if m.From < o.T-ShowsFrom || !m.Told && (o.onward(m, b.now()) <= 0 || o.behind(b) || o.beyond(m, b.Est.Now)) {
			continue
		}
		if !ok {
			f.Since = m.From
		}
		f.Rest = !math.IsNaN(m.To) && b.Est.State != probe.Moving
		f.Asks = f.Rest && b.Est.Drift <= askDrift && b.T-m.Rested >= b.askAfter() && (o.Dosed == 0 || b.T-o.Dosed >= askAfter) && !o.goesOn(b, m, f.Since) && (b.stands(m.Before.End) || b.T-m.Rested >= askWay)
		ok = true
	}
	if m, against := o.Against(b); !ok && against && b.Est.State != probe.Moving && !(b.T-m.Rested < againstAfter) {
		return view.Falling{Since: m.From, Rest: true, Asks: true, Against: true}, true
	}
	if !ok && o.Dosed > 0 {
		f = view.Falling{Since: o.Dosed, Rest: b.Est.State != probe.Moving, Asks: b.T-o.Dosed >= o.askTold(b), Unseen: len(b.Moves) == 0}
		ok = true
	}
	if !ok && o.Begun > 0 && b.T-o.Begun <= o.takes() && !b.ByHand && !o.Leaves(b) { // it hides in the noise again
		return view.Falling{Since: o.Begun, Rest: b.Est.State != probe.Moving}, true
	}
	if !ok && o.back(b) {
		return view.Falling{Since: b.Back}, true
	}
	if !ok && o.Unseen(b) {
		return view.Falling{Since: o.T, Rest: true, Asks: true, Unseen: true}, true
	}
	if ok && !f.Asks && o.past(b) {
		f.Asks, f.Past = true, true
		return f, true
	}
	if f.Asks && !o.Blind {
		f.Like = o.like(b)
	}
	return f, ok
}

// back reports whether readings have come back after a silence, further the way the order
// leads: it was carried out meanwhile, which a jump that is still held back would hide.
func (o *Standing) back(b *Beaker) bool {
	return b.Back > 0 && b.T-b.Back < backFor && (b.Shown-o.Est.Now)*o.Pull > math.Max(backBy, MovedSDs*o.Est.SD)
}

// For how long after a silence, s, and how far, pH, the reading has to have gone on for that.
const (
	backFor = 10.0
	backBy  = 0.1
)

// left reports whether an order that was in sight when a run was broken off seems to have been
// given since: somebody had begun, or the reading stands further the way it leads.
func (o *Standing) left(b *Beaker) (f view.Falling, ok bool) {
	if b.Est.State == probe.Empty || b.Est.State == probe.Moving {
		return f, false
	}
	if o.Dosed == 0 && o.Begun == 0 && (b.Est.End-o.Est.End)*o.Pull <= math.Max(leavesBy, MovedSDs*math.Hypot(b.Est.SD, o.Est.SD)) {
		return f, false
	}
	return view.Falling{Since: o.T, Rest: true, Asks: true, Left: true, Rinsed: o.Rinsed, Like: o.unlike(b, o.Est.End)}, true
}

// past reports whether the drops that fall have done so much more than they should that no
// more of them may: the reading is well past the aim, and past where the order was to lead.
// What streaks by an electrode before it has mixed goes less far.
func (o *Standing) past(b *Beaker) bool {
	return !b.ByHand && b.Est.Now*o.Pull > o.furthest()+pastBy && o.PastAt > 0 && b.T-o.PastAt >= pastFor
}

// furthest is the further of the aim and where the order was to lead at the most, times its pull.
func (o *Standing) furthest() float64 {
	to := o.Advice.Aim * o.Pull
	if low, high := o.Advice.PHLow, o.Advice.PHHigh; high > 0 {
		to = math.Max(to, math.Max(low*o.Pull, high*o.Pull))
	}
	return to
}

// Passes takes a reading while drops fall: those that stream by the bulb before they have mixed
// go far past where the beaker is, for a second or two each.
func (o *Standing) Passes(ph, t, interval float64) {
	if ph*o.Pull <= o.furthest()+pastBy {
		o.PastAt = 0
	} else if o.PastAt == 0 {
		o.PastAt = t - math.Max(0, interval-1)
	}
}

// pastBy is how far past it has to be, pH, and pastFor for how long, s, with no reading between
// that is not.
const (
	pastBy  = 0.25
	pastFor = 2.5
)

// goesOn reports whether more drops are likely to fall: so few have shown, and so
// little time has passed, that somebody slow may be in the middle of it. A meter with
// two decimals stands still between drops.
func (o *Standing) goesOn(b *Beaker, m probe.Move, since float64) bool {
	if o.Advice.Drops <= 0 || b.ByHand || o.ByML || b.T-since >= slowest*o.Advice.Drops {
		return false
	}
	if b.T-o.FarAt >= pauses && (b.T-m.Rested >= askWay || b.T-since >= slowDrop*o.Advice.Drops) {
		return false
	}
	// In drops, not in pH: into a steep part of the curve the first few go most of the way.
	n := b.Drops(m.Before.End, b.Est.End)
	return !(n >= nearlyAll*o.Advice.Drops)
}

// GoesOn takes an estimate while drops fall: a careful hand takes its time for each, and a
// meter with two decimals shows several at once.
func (o *Standing) GoesOn(est probe.Estimate, t float64) {
	if o.FarAt == 0 || (est.End-o.Far)*o.Pull > farSDs*est.SD || (est.Now-o.FarNow)*o.Pull > math.Max(climbs, est.Noise) {
		o.Far, o.FarNow, o.FarAt = est.End, est.Now, t
	}
}

// How far the end of a reading goes on with a drop or two, in its spreads; how far at the least,
// pH, the reading itself climbs with some more drops into a beaker that takes many; how long, s, it
// does not before no more drops are thought of; and how long a careful hand takes for one.
const (
	farSDs  = 0.5
	climbs  = 0.006
	pauses  = 20.0
	slowest = 4.0
)

// askDrift is the pace, pH a second, at which a reading that still moves for sure is not called at
// rest to anybody: drops of a slow hand fall into a beaker that takes many.
const askDrift = 0.001

// stands reports whether the reading is about where it ends, and was not wild just now:
// what still goes a long way may be drops that fall evenly, and does not look at rest to
// anybody.
func (b *Beaker) stands(before float64) bool {
	if b.T-b.WildAt < askAfter/2 {
		return false
	}
	return math.Abs(b.Est.End-b.Est.Now) <= math.Max(standsBy, standsOf*math.Abs(b.Est.End-before))
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

// takes is how long a slow hand takes over the order, s: one pour, or drop by drop.
func (o *Standing) takes() float64 {
	if o.ByML {
		return reachFor
	}
	return slowDrop * o.Advice.Drops
}

// Unseen reports whether the order looks as if it had been given long ago, with no
// movement that could be told from the noise.
func (o *Standing) Unseen(b *Beaker) bool {
	return b.T-o.T >= math.Max(askUnseen, reachFor+slowDrop*o.Advice.Drops) && b.Est.State != probe.Moving && len(b.Moves) == 0 && o.Nearer(b)
}

// Begins reports whether the first drops of the order may be what shows: the reading ends
// nearer to the aim than it seemed to, and whoever began at once would still be at it. Too
// small a movement to be told from creep by itself, and the wrong moment to change a number.
func (o *Standing) Begins(b *Beaker) bool {
	was, dir := o.Est, o.Pull
	return b.T-o.T <= reachFor+slowDrop*o.Advice.Drops && (b.Est.End-was.End)*dir > begunSDs*was.SD
}

// How long it takes somebody to reach for the bottle and a drop to mix, s, and how far the
// end of a reading moves by it at the least, in standard deviations.
const (
	reachFor = 10.0
	begunSDs = 0.25
)

// Nearer reports whether the reading stands nearer to the aim than it did when
// the order was given: small additions hide in the noise.
func (o *Standing) Nearer(b *Beaker) bool {
	was, dir := o.Est, o.Pull
	if b.ByHand { // what is typed tells, but for a digit, and for what the electrode creeps
		return (b.Est.Now-was.Now)*dir > math.Max(flickers*b.Resolution, (was.End-was.Now)*dir)
	}
	return (b.Est.End-was.End)*dir > was.SD
}

// now is where the reading is, moving or not.
func (b *Beaker) now() float64 {
	if b.Est.State == probe.Moving {
		return b.Est.Now
	}
	return b.Est.End
}

// like is how many drops of the order the reading has moved by, when that is
// quite another number than was ordered.
func (o *Standing) like(b *Beaker) float64 {
	if len(b.Moves) == 0 {
		return 0
	}
	return o.unlike(b, b.Moves[0].Before.End)
}

// unlike is that from where the reading was before.
func (o *Standing) unlike(b *Beaker, before float64) float64 {
	n := b.Drops(before, b.Est.End)
	for _, sds := range [...]float64{-likeSDs, 0, likeSDs} { // just after a resume the end is hardly known
		if r := b.Drops(before, b.Est.End+sds*b.Est.SD) / o.Advice.Drops; r > likeLow && r < likeHigh {
			return 0
		}
	}
	if !(n >= 0.5) {
		return 0
	}
	if n >= 100 { // it is not known to the drop
		return 10 * math.Round(n/10)
	}
	return math.Round(n)
}

// Between these shares of the order a movement is taken to be its doing, as far as its end is
// known: by so many of its standard deviations.
const (
	likeLow  = 0.55
	likeHigh = 1.8
	likeSDs  = 2.0
)

// Leaves reports whether the reading goes against the order that stands, or so far beyond
// where it leads that it is not its drops: an electrode that is put in, or out.
func (o *Standing) Leaves(b *Beaker) bool {
	if b.Est.State != probe.Moving {
		return false
	}
	for _, m := range b.Moves {
		if o.onward(m, b.Est.Now) < -math.Max(leavesBy, MovedSDs*m.Before.SD) || o.beyond(m, b.Est.Now) {
			return true
		}
	}
	return false
}

// Against reports whether the reading has gone against the order that stands, and by which
// movement: another bottle was taken, or it holds something else; or the electrode was out.
func (o *Standing) Against(b *Beaker) (probe.Move, bool) {
	for _, m := range b.Moves {
		if m.From >= o.T-ShowsFrom && !m.Told && o.onward(m, b.now()) < -math.Max(againstBy, MovedSDs*m.Before.SD) {
			return m, true
		}
	}
	return probe.Move{}, false
}

// By how much at the least, pH, and for how long, s, it has to have stood there, to be asked
// about as the order's doing.
const (
	againstBy    = 0.08
	againstAfter = 2.0
)

// behind reports whether the reading, which had gone the other way, is no further than where the
// order found it: it comes back.
func (o *Standing) behind(b *Beaker) bool {
	return o.Astray && (b.now()-o.Est.Now)*o.Pull < leavesBy
}

// onward is how far a reading has gone the way of the order since a movement began, pH;
// below 0 against it. A movement may begin before the electrode has arrived: then it is
// reckoned from where the reading was or from where it was going, whichever is further back.
func (o *Standing) onward(m probe.Move, now float64) float64 {
	return math.Max((now-m.Before.End)*o.Pull, (now-m.Before.Now)*o.Pull)
}

// beyond reports whether a movement that nobody said to be the order's goes so far that it
// is not. Where the order leads in a beaker of which nothing is known, nobody can say.
func (o *Standing) beyond(m probe.Move, now float64) bool {
	return !m.Told && !o.Blind && o.onward(m, now) > beyondBy+beyondTimes*math.Abs(o.Advice.PHAfter-m.Before.End)
}

// beyondTimes is how many times as far as an order leads, and beyondBy how much further, pH,
// a movement goes that is not taken for its drops.
const (
	beyondTimes = 2.0
	beyondBy    = 1.5
)

// leavesBy is the least by which a reading goes against an order, pH.
const leavesBy = 0.03

// askAfter is how long a reading that has moved as an order would move it is at
// rest, s, before it is asked whether it was given. A value that somebody types
// is looked at in that moment.
func (b *Beaker) askAfter() float64 {
	if b.ByHand {
		return 0
	}
	return askAfter
}

// askTold is the same after a first drop was told. Nothing moves of what is typed:
// the drops have to have fallen.
func (o *Standing) askTold(b *Beaker) float64 {
	if b.ByHand {
		return askTold + PerDrop*o.Advice.Drops
	}
	return askTold
}

// MovedSDs is by how many standard deviations a reading has to have left its
// level for somebody to be asked about it.
const MovedSDs = 3.0

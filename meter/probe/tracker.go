package probe

import (
	"math"
	"slices"

	"example.org/halfdrop/meter/probe/sift"
)

// Figures of judgement of the tracker, a choice of this project.
const (
	wander     = 0.0003 * 0.0003 // pH² per second, by which a beaker at rest moves
	freeWander = 0.20 * 0.20     // the same while it is being changed
	gateZ      = 4.5             // of a normal distribution, from which a reading is held back
	heldMost   = 3               // readings held back in a row make a movement
	driftZ     = 0.6             // CUSUM of residuals: what is let pass a reading
	alarmZ     = 9.0             // and its alarm
	awaitZ     = 4.5             // alarm in the direction of an order that stands
	awaitLet   = 0.6             // and what is let pass a reading there
	cutBack    = 2.2             // intervals before a movement that its first drops may have bent
	restReads  = 8               // readings that a rest after a movement takes to be believed
	restWorse  = 4.0             // ln, by which it may be the worse account meanwhile
	restZ      = 4.0             // CUSUM of its residuals from which on it is none
	restLet    = 0.5             // and what is let pass a reading
	restTaus   = 2.0             // time constants that a rest which is not flat takes
	flatSDs    = 2.5             // standard deviations that the slope of a flat reading may have
	markEvery  = 24              // readings between two banks that are kept to go back to
	slowPace   = 0.6             // s between readings, from which on each counts by itself
	binSpan    = 1.0             // s, else they are joined
)

// obs is a reading that counts.
type obs struct{ t, y float64 }

// mark is a bank to go back to: it holds the first n of the past readings.
type mark struct {
	bank *bank
	n    int
}

// cusum sums what residuals have in common on one side (E. S. Page, Biometrika
// 41, 100, 1954).
type cusum struct {
	sum   float64
	since float64 // s, of the reading after it was last zero
}

func (c *cusum) push(t, z, let float64) {
	if c.sum <= 0 {
		c.since = t
	}
	c.sum = math.Max(0, c.sum+math.Max(-4, math.Min(4, z))-let)
}

// Move is a movement of the reading that nothing on record had announced.
type Move struct {
	From   float64  // s, of its first reading
	Before Estimate // of the end value, just before
	To     float64  // s, since when it has been at rest again; NaN while it moves
	Rested float64  // s, when that was known
	Back   bool     // it has come back to where it was
	Told   bool     // somebody said that it began
	Owner  int64    // sequence number of the addition that explains it; 0 for none, Nobody when a person has looked at it
}

// Nobody owns a movement that a person has looked at.
const Nobody = -1

// Tracker follows the readings of one electrode in one beaker. It is a value:
// its methods return a new one and leave the old one as it was.
type Tracker struct {
	know       *Electrode // before the first reading; never changed
	resolution float64    // pH, the step of its readings
	bank       *bank      // nil before the first reading
	free       bool       // the beaker or the electrode is being changed
	rest       *rest      // how well a rest explains the latest readings, while free
	marks      [2]mark
	past       []obs // since the first mark
	recent     []obs // of the latest seconds
	held       []obs
	rattle     []sift.Sample // the latest, to see whether they only come and go
	left       *bank         // as it was when the latest movement began
	up, down   cusum
	expects    float64 // direction in which an order that stands will move the reading; 0 for none
	ref        *bank   // as it was when the order was given, to tell the first drops by
	first      cusum   // of what the readings have left it by in that direction
	moves      []Move
	back       int     // one more than the number of the movement before which it was where it seems to be again; 0 when that is sure
	owner      int64   // the latest addition on record
	owns       float64 // s, until when what moves belongs to it
	said       float64 // s, when it was put on record
	falls      float64 // s, until when it may still fall: what moves its way does, too
	way        float64 // direction in which it moves the reading
	level      float64 // pH, of the end value before it; NaN for not known
	found      Given   // what it found
	putIn      float64 // s, when somebody said last that the electrode is in the beaker now
	wild       int     // readings left out
	wildAt     float64 // s, of the last of them

	sieve sift.Sieve
	lines sift.Lines
	grain sift.Grain
	hum   sift.Hum // what successive residuals have in common

	typed   bool    // the values are typed by a person
	unread  bool    // and none was since the beaker was changed
	stood   bool    // the latest of them was said to stand
	lags    *lags   // what they say of the electrode and the beaker
	gone    *lags   // as they were before the latest addition; nil when they say nothing of now
	latest  obs     // the latest of them
	changed float64 // s, when the beaker was changed last, of values that are typed

	joined   sift.Bin // readings of a fast meter that are joined
	interval float64
	heard    float64
	n        int // readings that came
}

// rest is the account that the beaker has not changed since some time.
type rest struct {
	start *bank // as it was then
	bank  *bank // and as it is now
	later []obs // the readings since
	since float64
	gain  float64 // ln, by how much it explains the readings since better

	up, down cusum
}

// Track begins to follow an electrode of which something is known.
func Track(e Electrode) Tracker {
	return Tracker{know: &e, owns: math.Inf(-1), said: math.Inf(-1), putIn: math.Inf(-1), heard: math.NaN(), level: math.NaN()}
}

// ahead is a bank at a later time; wander is the variance a second by which the
// beaker may have moved meanwhile.
func (k *Tracker) ahead(b *bank, t, wander float64) *bank {
	out := b.ahead(t, wander)
	out.resolution = k.resolution
	return out
}

// Push takes a reading at time t, s, which must not run backwards.
func (k Tracker) Push(t, y float64) Tracker {
	k.Absorb(t, y)
	return k
}

// Absorb is Push in place, for the holder of the tracker: a copy of it that was
// made before stays as it was.
func (k *Tracker) Absorb(t, y float64) {
	k.rhythm(t)
	o := sift.Sample{T: t, PH: y, Temp: math.NaN()}
	if k.n > 2 && k.interval < slowPace {
		if !k.joined.Empty() && t-k.joined.Since() >= binSpan {
			k.shut()
		}
		k.joined.Push(o)
		return
	}
	k.shut()
	k.take(o)
}

// rhythm learns how often the meter sends.
func (k *Tracker) rhythm(t float64) {
	k.n++
	if k.heard <= k.said && t > k.said { // what it did shows now, however late that is
		k.owns, k.falls = math.Max(k.owns, t+mixes/2), math.Max(k.falls, t+mixes/2)
	}
	if dt := t - k.heard; k.n > 1 {
		switch {
		case k.n == 2:
			k.interval = dt
		case dt < 4*k.interval || dt < 1:
			k.interval += 0.15 * (dt - k.interval)
		default: // a gap; a slower rhythm shows by more of them
			k.interval += 0.15 * 3 * k.interval
		}
	}
	k.heard = t
}

// close is the tracker with the open bin taken.
func (k Tracker) close() Tracker {
	k.shut()
	return k
}

// shut takes the open bin: its median, which one wild reading does not move.
func (k *Tracker) shut() {
	if k.joined.Empty() {
		return
	}
	o := k.joined.Middle()
	k.joined = sift.Bin{}
	k.take(o)
}

// take lets a reading count, unless it stands on the upper line of a pick-up or is a
// wild one.
func (k *Tracker) take(o sift.Sample) {
	var count []sift.Sample
	var begun bool
	if k.lines, count, begun = k.lines.Push(o); begun {
		*k = k.Excuse()
		k.bank, k.free, k.rest, k.ref, k.sieve = nil, false, nil, nil, sift.Sieve{}
	}
	for _, o := range count {
		pass := []sift.Sample{o}
		if !k.lines.On() { // of two lines the lower is the sieve
			k.sieve, pass = k.sieve.Push(o)
		}
		for _, o := range pass {
			if !k.rattled(o) {
				k.counts(obs{o.T, o.PH})
			}
		}
	}
	if begun && k.expects != 0 {
		k.ref, k.first = k.bank, cusum{}
	}
}

// Upper reports whether a reading to come would stand on the upper of two lines.
func (k *Tracker) Upper(ph float64) bool { return k.lines.Upper(ph) }

// Pickup reports whether the meter shows two lines, of which the lower counts, and
// whether the latest reading was left out.
func (k *Tracker) Pickup() (on, left bool) { return k.lines.On(), k.lines.Left() }

// counts takes a reading of the beaker.
func (k *Tracker) counts(o obs) {
	k.recent = lately(k.recent, o)
	switch {
	case k.bank == nil:
		k.bank = open(k.know, o.t, o.y, k.resolution)
		k.anchor()
	case k.free:
		k.moving(o)
	default:
		k.still(o)
	}
}

// anchor makes the present bank the one to go back to.
func (k *Tracker) anchor() {
	k.marks = [2]mark{{bank: k.bank}, {bank: k.bank}}
	k.past, k.held, k.up, k.down, k.first = nil, nil, cusum{}, cusum{}, cusum{}
}

// note keeps a reading that was learned, to go back to before it.
func (k *Tracker) note(o obs) {
	k.past = append(slices.Clip(k.past), o)
	if n := len(k.past); n >= k.marks[1].n+markEvery {
		k.past = k.past[k.marks[1].n:]
		k.marks = [2]mark{{bank: k.marks[1].bank}, {bank: k.bank, n: len(k.past)}}
	}
}

// still takes a reading of a beaker that nobody touches, as far as is known.
func (k *Tracker) still(o obs) {
	b := k.ahead(k.bank, o.t, wander)
	mean, v := b.expect(o.y)
	z := (o.y - mean) / math.Sqrt(v)
	if math.Abs(z) > gate(2*b.firmness()) {
		k.held = append(slices.Clip(k.held), o)
		if len(k.held) >= heldMost {
			k.cut(k.held[0].t)
		}
		return
	}
	b.learn(false)
	if len(k.held) > 0 {
		k.wild, k.wildAt, k.held = k.wild+len(k.held), o.t, nil
	}
	k.bank = b
	k.note(o)
	if s := b.sum(); b.astray(&s) || k.adrift(&s) { // something else was taken for the late part
		k.bank, k.back = open(k.know, o.t, o.y, k.resolution), 0
		k.anchor()
		return
	}
	if k.back > 0 {
		k.isBack(b.judged(k))
	}
	k.hum = k.hum.Push(z)
	z /= k.hum.Louder()
	k.up.push(o.t, z, driftZ)
	k.down.push(o.t, -z, driftZ)
	k.await(o)
	switch {
	case k.up.sum > alarmZ:
		k.cut(k.up.since)
	case k.down.sum > alarmZ:
		k.cut(k.down.since)
	case k.first.sum > awaitZ:
		k.cut(k.first.since)
	}
}

// await sees whether a reading has left what was foretold when an order was
// given: by what is learned from each reading, slow drops would be taken for the
// way of the electrode.
func (k *Tracker) await(o obs) {
	if k.ref == nil || o.t <= k.ref.t {
		return
	}
	b := k.ahead(k.ref, o.t, wander)
	mean, v := b.expect(o.y)
	k.first.push(o.t, k.expects*(o.y-mean)/math.Sqrt(v), awaitLet)
}

// gate is how many standard deviations a reading may be off when the noise is
// known with df degrees of freedom: the quantile of Student's t that gateZ is
// of the normal distribution (D. L. Wallace, Ann. Math. Stat. 30, 1124, 1959,
// from memory).
func gate(df float64) float64 {
	z := gateZ * (8*df + 3) / (8*df + 1)
	return math.Sqrt(df * math.Expm1(z*z/df))
}

// before is the bank as it was before the readings from t on, and those. Of what is longer
// ago than the readings that are kept, it is the one on which an order was given.
func (k *Tracker) before(t float64) (*bank, []obs) {
	m := k.marks[1]
	if m.n > len(k.past) || m.n > 0 && k.past[m.n-1].t >= t {
		m = k.marks[0]
	}
	b := m.bank
	i := m.n
	if i == 0 && len(k.past) > 0 && k.past[0].t > t && k.ref != nil && k.ref.t <= t {
		b = k.ref
	}
	for ; i < len(k.past) && k.past[i].t < t; i++ {
		o := k.past[i]
		b = k.ahead(b, o.t, wander)
		b.expect(o.y)
		b.learn(false)
	}
	return b, append(slices.Clone(k.past[i:]), k.held...)
}

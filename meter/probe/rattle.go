package probe

import (
	"math"

	"example.org/halfdrop/meter/probe/sift"
)

// Resolve sets the step of the last digit that the meter shows, pH.
func (k Tracker) Resolve(step float64) Tracker {
	k.resolution = step
	return k
}

// Refine is Resolve in place, by a value, pH, as it was shown: a meter whose readings go by
// larger steps than its last digit is as coarse as they are.
func (k *Tracker) Refine(step, shown float64) {
	k.grain = k.grain.Push(shown, step)
	k.resolution = k.grain.Step(step)
}

// Resolution is the smallest step in which the reading has gone so far, pH: the last digit
// that the meter shows, or more.
func (k *Tracker) Resolution() float64 { return math.Max(k.resolution, k.grain.Least()) }

// rattled begins anew where the readings of a beaker that seems to be changed only come and
// go, by much more than the noise that was learned: a stirrer set faster, a display whose
// last digit has begun to flicker. It would be followed for ever else.
func (k *Tracker) rattled(o sift.Sample) bool {
	k.rattle = sift.Recent(k.rattle, o)
	if !k.free {
		return false
	}
	moved := o.T - k.moves[len(k.moves)-1].From
	list, sd := sift.Rattles(k.rattle, moved > swingsFrom)
	if list == nil || moved < rattlesFrom || sd < rattleTimes*math.Sqrt(k.bank.sum().noise) {
		return false
	}
	e := k.bank.electrode()
	e.hiss = k.know.hiss
	from := list[0]
	b := open(&e, from.T, from.PH, k.resolution)
	for _, o := range list[1:] {
		b = k.ahead(b, o.T, wander)
		b.expect(o.PH)
		b.learn(false)
	}
	k.restsAs(b, from.T)
	return true
}

// By how much the noise has grown then, and after how long a movement, s, it is taken to
// have: bubbles and an electrode in the hand are over sooner. What swings takes longer: a
// rest that is found otherwise is known better.
const (
	rattlesFrom = 30.0
	rattleTimes = 2.5
	swingsFrom  = 60.0
)

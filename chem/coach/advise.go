package coach

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach/account"
	"example.org/halfdrop/chem/coach/belief"
	"example.org/halfdrop/chem/coach/dose"
	"example.org/halfdrop/chem/coach/normal"
)

// Figures of judgement, a choice of this project.
const (
	waitGain = 0.9 // dose now when at least this share of the dose on a final reading is safe
	// Wait when a dose now would leave more of the way to the aim than one on a
	// final reading: by this share of it, and by this part of the tolerance.
	waitShare = 0.25
	waitPart  = 0.25
	hitGain   = 0.05 // wait when a final reading raises the chance to land in tolerance by more
	// What hits as likely as this is given on a vague reading: an addition more, now and then, costs less time than waits.
	likelyHit  = 0.8
	likelyAge  = 45.0  // s since the beaker was touched: before, a spread is not to be trusted that far
	nameSD     = 0.03  // pH, spread of a reading above which no mistake is named
	nameAge    = 180.0 // s that a better reading is waited for before one is named
	surePast   = 0.975
	sureInside = 0.95
	handsOff   = 0.8  // chance to end within the tolerance from which on it is left alone
	stillAt    = 0.65 // probability of any mistake down to which it is asked about still: a question does not come and go
	// Probability of any mistake from which a small step is called a probe.
	probeAt = 0.2
)

// Advise says what to do next.
func (b *Bench) Advise(r Request) Advice {
	if b.Guide != nil {
		return b.Guide.Advise(r)
	}
	bel := b.Believe(r.with(r.Now.SD))
	adv := b.decide(&bel, r)
	if adv.Do == Add && r.Now.patient(adv.Aim, b.Tolerance) && (adv.hits() < likelyHit || r.Now.Age < likelyAge) {
		adv.Do, adv.Reason = Wait, Settling
	}
	if adv.Do == Add && r.Now.moves(adv.Aim, b.Tolerance) {
		adv.Do, adv.Reason = Wait, Settling
	}
	if adv.Do != Add || r.Now.Settled && !r.Now.Typed || r.Now.best() || r.Now.GoOn || r.Now.worn() >= longAge {
		return adv // what is not better known by then is given on, as far as it is safe
	}
	// Would waiting change the dose? Ask again as if the reading were final.
	final := b.Believe(r.with(math.Min(r.Now.SD, r.Now.FinalSD)))
	better := b.decide(&final, r)
	if better.Do != Add || adv.effect(b) < r.Now.gain()*better.effect(b) || adv.falls(better) || better.hits() > adv.hits()+hitGain {
		adv.Do, adv.Reason = Wait, Settling
	}
	return adv
}

// falls reports whether the addition leaves so much more of the way than the
// one on a final reading would that waiting is worth it.
func (a Advice) falls(better Advice) bool {
	left, least := math.Abs(a.Aim-a.After), math.Abs(better.Aim-better.After)
	return left > least*(1+waitShare)+waitPart*a.Tolerance
}

// hits is the chance that the addition lands within the tolerance.
func (a Advice) hits() float64 {
	return normal.Quantity{Mean: a.After - a.Aim, SD: normal.SDOf(a.High - a.Low)}.Within(a.Tolerance)
}

// How far an order that stands may come to be wrong: times the chance of a fresh
// one, and past the aim in the mean, as part of the tolerance.
const (
	standChance = 5
	standPast   = 1.0
)

// Stands reports whether an addition that was advised earlier on the same
// composition is still right: no more dangerous than it may be, and not accused
// of anything. A better one is no reason to change it. Where its own first drops may be
// what speaks against it, it is enough that it leads inside the tolerance.
func (b *Bench) Stands(r Request, stock int, drops float64) bool {
	if b.Guide != nil {
		return b.Guide.Stands(r, stock, drops)
	}
	bel := b.Believe(r.with(r.Now.SD))
	aim := bel.Aim()
	if ms, w := bel.Suspects(); w >= belief.NamedAt && !r.allConfirmed(ms) && r.Now.clear() && !r.Now.patient(aim, b.Tolerance) {
		return false
	}
	off := aim - r.Now.PH
	dir := account.Sign(off)
	if b.Pull(stock) != dir {
		return math.Abs(off) <= b.Tolerance/2 // it may be its first drops that show
	}
	d := dose.Of(&bel, stock, dir)
	drop := b.Stocks[stock].Drop.Litres()
	after, _, _ := d.Landing(drops)
	past := dir * (after - aim)
	return past <= standPast*b.Tolerance && drops*drop <= b.room(r.History.Additions).Litres() && (r.Begun || d.Chance(drops) <= standChance*d.Limit())
}

// with is the history closed by the present reading with a given spread.
func (r Request) with(sd float64) History { return r.History.With(chem.PH(r.Now.PH), sd) }

// effect is the labelled charge of the advised addition, to compare two.
func (a Advice) effect(b *Bench) float64 {
	return math.Abs(b.Stocks[a.Stock].PerLitre.Charge) * a.Volume.Litres()
}

// decide is the advice on a belief: what is wrong, the next step, or how it ends.
func (b *Bench) decide(bel *belief.Belief, r Request) Advice {
	adv := Advice{Aim: bel.Aim(), Tolerance: b.Tolerance}
	off := r.Now.PH - adv.Aim
	switch ms, w := bel.Suspects(); {
	case w >= r.accuses() && !r.allConfirmed(ms) && (r.Now.clear() || !r.Now.GoOn):
		if !r.Now.clear() { // soon it will be
			return b.unclear(bel, r, adv)
		}
		adv.Do, adv.Reason, adv.Mistakes, adv.Weight = Check, Mistaken, ms, w
		if r.Now.Age < nameAge && r.Now.patient(adv.Aim, b.Tolerance) {
			adv.Do, adv.Reason = Wait, Settling
		}
		return adv
	case math.Abs(off) > b.Tolerance:
		return b.step(bel, r, adv, -account.Sign(off))
	}
	return b.ending(bel, r, adv, off)
}

// ending is the advice on a reading that will end within the tolerance, off the aim by off.
func (b *Bench) ending(bel *belief.Belief, r Request, adv Advice, off float64) Advice {
	in, rests := bel.Inside(), r.Now.rests(adv.Aim, b.Tolerance)
	long, alone := r.Now.worn() >= doneAge, r.Now.inside(adv.Aim, b.Tolerance) >= handsOff // by the reading alone
	switch {
	case r.Now.atRest(b.Tolerance) && rests && !r.Now.onTheEdge(adv.Aim, b.Tolerance) && in >= sureInside && (alone || long): // a coarse display may stand on the edge
		adv.Do, adv.Reason = Stop, InTolerance
	case !r.Now.Stands && (in >= sureInside || !rests && in >= handsOff):
		adv.Do, adv.Reason = Wait, HandsOff
	case !r.Now.Settled && !r.Now.best() && r.Now.worn() < longAge:
		adv.Do, adv.Reason = Wait, Settling
	case r.Now.patient(adv.Aim, b.Tolerance):
		adv.Do, adv.Reason = Wait, HandsOff
	default:
		dir := -account.Sign(off)
		if math.Abs(off) > edgeShare*b.Tolerance && !isWayBack(b, &r.History, adv.Aim, dir) {
			if better := b.step(bel, r, adv, dir); better.Do == Add && better.hits() > in+hitGain {
				return better
			}
		}
		adv.Do, adv.Reason = Stop, InTolerance
		moves := !r.Now.still(b.Tolerance) || !alone && (!r.Now.Stands || r.Now.SD > lateSDs*r.Now.FinalSD)
		if !rests || moves && !long {
			adv.Do, adv.Reason = Wait, HandsOff
		}
	}
	return adv
}

// unclear waits for a reading that is good enough to accuse somebody by. What is safe by
// all accounts is held back meanwhile, for who wants to go on.
func (b *Bench) unclear(bel *belief.Belief, r Request, adv Advice) Advice {
	if off := adv.Aim - r.Now.PH; math.Abs(off) > b.Tolerance {
		adv = b.step(bel, r, adv, account.Sign(off))
	}
	adv.Do, adv.Reason = Wait, Settling
	return adv
}

// step chooses the addition that leads from outside the tolerance to the aim.
func (b *Bench) step(bel *belief.Belief, r Request, adv Advice, dir float64) Advice {
	room := b.room(r.History.Additions)
	if r.agreed(NoRoom) > 0 { // a larger volume, and a thinner buffer
		room = max(room, moreRoom*b.Final)
	}
	back := isWayBack(b, &r.History, adv.Aim, dir)
	if back && !r.Now.Settled && normal.Phi((math.Abs(r.Now.PH-adv.Aim)-b.Tolerance)/r.Now.SD) < surePast {
		adv.Do, adv.Reason = Wait, Settling
		return adv
	}
	c := dose.Among(bel, dir, room, r.Aside)
	if c.None() {
		return b.misled(bel, r, adv, dir, back)
	}
	adv.OneDrop = c.OneDrop()
	agreed := r.agreed(DropTooBig)
	if agreed == 0 && (r.Now.best() || r.Now.GoOn) && adv.small() {
		agreed = 1 // it is the reading that is not better known, and will not be
	}
	c.Finest(agreed, math.Abs(r.Now.PH-adv.Aim))
	o, d := c.Best()
	if o.Drops <= 0 && c.Contradicted() {
		return b.byReading(bel, r, adv, dir)
	}
	if o.Drops <= 0 {
		return stuck(adv, r, c.Cramped)
	}
	adv.Do, adv.Stock, adv.Drops, adv.Chance = Add, o.Stock, o.Drops, o.Chance
	adv.Volume = chem.Volume(o.Drops) * b.Stocks[o.Stock].Drop
	adv.After, adv.Low, adv.High = d.Landing(o.Drops)
	switch {
	case back:
		adv.Reason, adv.Salt = Past, o.Charge*o.Drops
	case math.Abs(adv.After-adv.Aim) <= b.Tolerance:
		adv.Reason = Near
	case c.Finer(o):
		adv.Reason = Finer
	default:
		adv.Reason = Far
		if _, doubt := bel.Suspects(); doubt > probeAt {
			adv.Reason = Probe
		}
	}
	return adv
}

// stuck is the advice when not one drop is safe.
func stuck(adv Advice, r Request, cramped bool) Advice {
	switch {
	case !r.Now.Settled && !r.Now.best() && !r.Now.GoOn && r.Now.worn() < longAge:
		adv.Do, adv.Reason, adv.Asking = Wait, Settling, true
	case cramped:
		adv.Do, adv.Reason = Check, NoRoom
	case adv.small() && !r.Now.best() && !r.Now.GoOn: // it is the reading that is vague
		adv.Do, adv.Reason, adv.Asking = Wait, Settling, true
	default:
		adv.Do, adv.Reason = Check, DropTooBig
	}
	return adv
}

// small reports whether half a drop moves the pH by so little that its size is no
// reason not to give it.
func (a Advice) small() bool { return math.Abs(a.OneDrop)*dose.Half <= a.Tolerance/2 }

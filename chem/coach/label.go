package coach

import (
	"slices"

	"example.org/halfdrop/chem/coach/belief"
)

// labelled reports whether a bottle at hand leads in a direction, by its label and by what it
// did: one that has led the other way twice is none.
func (b *Bench) labelled(dir float64, r Request) bool {
	for j := range b.Stocks {
		if b.Pull(j) == dir && !slices.Contains(r.Aside, j) && b.ledOtherWay(r, j) < misledMost {
			return true
		}
	}
	return false
}

// ledOtherWay is how many times, in the readings, a bottle has led the other way than its label:
// in one step, or in several of it in a row.
func (b *Bench) ledOtherWay(r Request, stock int) (n int) {
	obs := r.with(r.Now.SD).Observations
	from := obs[0].PH
	for i := 1; i < len(obs); i++ {
		between := r.History.Additions[obs[i-1].After:obs[i].After]
		other := func(a Addition) bool { return a.Stock != stock }
		switch led := (obs[i].PH - from) * b.Pull(stock); {
		case slices.ContainsFunc(between, other) || led > 0:
			from = obs[i].PH
		case len(between) > 0 && led < -surelyOff:
			n, from = n+1, obs[i].PH
		}
	}
	return n
}

// misledMost is how often a bottle that has led the other way is given again on a person's word.
const misledMost = 2

// surelyOff is by how much, pH, a reading has to have gone the other way for that.
const surelyOff = 0.1

// misled is what is done where no bottle leads the right way. By the likeliest account one may
// hold something else than its label says: that is asked. Where somebody has looked, the
// account without a name goes by labels and by what was measured.
func (b *Bench) misled(bel *belief.Belief, r Request, adv Advice, dir float64, back bool) Advice {
	switch ms, w := bel.Suspects(); {
	case bel.Unnamed() || !b.labelled(dir, r):
		adv.Do, adv.Reason = Check, NoTitrant
		if back {
			adv.Reason = NoWayBack
		}
	case r.allConfirmed(ms):
		return b.byReading(bel, r, adv, dir)
	default:
		adv.Do, adv.Reason, adv.Mistakes, adv.Weight = Check, Mistaken, ms, w
		if !r.Now.clear() {
			adv.Do, adv.Reason = Wait, Settling
		}
	}
	return adv
}

// byReading is the step by the account without a name alone, with the bottles that have not led
// the other way.
func (b *Bench) byReading(bel *belief.Belief, r Request, adv Advice, dir float64) Advice {
	r.Aside = slices.Clone(r.Aside)
	for j := range b.Stocks {
		if b.ledOtherWay(r, j) >= misledMost {
			r.Aside = append(r.Aside, j)
		}
	}
	open := bel.Nameless()
	return b.step(&open, r, adv, dir)
}

package coach

import (
	"slices"
)

// labelled reports whether a bottle at hand leads in a direction, by its label and by what it
// did: one that has led the other way twice is none.
func (b *Bench) labelled(dir float64, r Request) bool {
	for j := range b.Stocks {
		if b.pull(j) == dir && !slices.Contains(r.Aside, j) && b.misled(r, j) < misledMost {
			return true
		}
	}
	return false
}

// misled is how many times, in the readings, a bottle has led the other way than its label:
// in one step, or in several of it in a row.
func (b *Bench) misled(r Request, stock int) (n int) {
	obs := append(slices.Clip(r.History.Observations), Observation{After: len(r.History.Additions), PH: r.Now.PH, SD: r.Now.SD})
	from := obs[0].PH
	for i := 1; i < len(obs); i++ {
		between := r.History.Additions[obs[i-1].After:obs[i].After]
		other := func(a Addition) bool { return a.Stock != stock }
		switch led := (obs[i].PH - from) * b.pull(stock); {
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

// against is what is done where no bottle leads the right way because, by the likeliest account,
// one holds something else than its label says: that is asked. Where somebody has looked, the
// account without a name goes by labels and by what was measured.
func (b *Bench) against(bel *Belief, r Request, adv Advice, dir float64) Advice {
	if ms, w := bel.suspects(); !r.allConfirmed(ms) {
		adv.Do, adv.Reason, adv.Mistakes, adv.Weight = Check, Mistaken, ms, w
		if !r.Now.clear() {
			adv.Do, adv.Reason = Wait, Settling
		}
		return adv
	}
	return b.byReading(bel, r, adv, dir)
}

// byReading is the step by the account without a name alone, with the bottles that have not led
// the other way.
func (b *Bench) byReading(bel *Belief, r Request, adv Advice, dir float64) Advice {
	r.Aside = slices.Clone(r.Aside)
	for j := range b.Stocks {
		if b.misled(r, j) >= misledMost {
			r.Aside = append(r.Aside, j)
		}
	}
	open := *bel
	open.posts = slices.Clone(bel.posts)
	for i := range open.posts {
		open.posts[i].weight = 0
	}
	free := *bel.free
	free.weight, open.free, open.deaf = 1, &free, 0
	return b.step(&open, r, adv, dir)
}

// contradicted reports whether the likeliest account has the beaker on the other side of the
// aim than the reading: it is the last that is left of the list, and no drop is too large for it.
func contradicted(all []dosing) bool {
	for i := range all {
		if all[i].bel.unnamed() || all[i].most() >= 0 {
			return false
		}
	}
	return true
}

package coach

import (
	"slices"
)

// labelled reports whether a bottle at hand leads in a direction, by its label and by what it
// did: one that has led the other way twice is none.
func (b *Bench) labelled(dir float64, r Request) bool {
	for j := range b.Stocks {
		if b.pull(j) == dir && !slices.Contains(r.Aside, j) && b.misled(r, j) < 2 {
			return true
		}
	}
	return false
}

// misled is how many times, in the readings, a bottle has led the other way than its label.
func (b *Bench) misled(r Request, stock int) (n int) {
	obs := append(slices.Clip(r.History.Observations), Observation{After: len(r.History.Additions), PH: r.Now.PH, SD: r.Now.SD})
	for i := 1; i < len(obs); i++ {
		between := r.History.Additions[obs[i-1].After:obs[i].After]
		other := func(a Addition) bool { return a.Stock != stock }
		if len(between) > 0 && !slices.ContainsFunc(between, other) && (obs[i].PH-obs[i-1].PH)*b.pull(stock) < -surelyOff {
			n++
		}
	}
	return n
}

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
	open := *bel
	open.posts = slices.Clone(bel.posts)
	for i := range open.posts {
		open.posts[i].weight = 0
	}
	free := *bel.free
	free.weight, open.free, open.deaf = 1, &free, 0
	return b.step(&open, r, adv, dir)
}

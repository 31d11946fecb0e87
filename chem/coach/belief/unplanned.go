package belief

import (
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach/account"
)

// Of a beaker that nobody weighed nothing can have been mistaken, but for what was given: a
// bottle that holds the other kind, an addition that never fell. That is told by the last
// step alone, against what the earlier ones have shown.

// Figures of judgement, a choice of this project.
const (
	// A reading that has gone the other way than its titrant by more than this, pH, and
	// than so many spreads, has had another titrant.
	otherWayLeast = 0.012
	otherWaySDs   = 4.0
	// A step that no capacity explains within so many of its spreads, ln, was not given.
	unansweredSDs = 3.0
	readSDs       = 2.0 // of both readings, which may have hidden as much of it
	unplannedSure = 0.99
)

// mishaps are what the last step of a beaker that nobody weighed says of what was given: the
// likeliest first, none where it may be as it was said.
func (bel *Belief) mishaps() []account.Mistake {
	b, obs, adds := bel.Bench, bel.History.Observations, bel.History.Additions
	n := len(obs)
	if n < 2 {
		return nil
	}
	was, now := obs[n-2], obs[n-1]
	between := adds[was.After:now.After]
	if len(between) == 0 || slices.ContainsFunc(between, func(a account.Addition) bool { return a.Stock != between[0].Stock }) {
		return nil
	}
	stock, moved, sd := between[0].Stock, now.PH-was.PH, math.Hypot(was.SD, now.SD)
	if -moved*b.Pull(stock) > otherWayLeast+otherWaySDs*sd {
		return bel.otherWay(now.After, stock)
	}
	most := math.Max(0, moved*b.Pull(stock)) + readSDs*sd
	if len(between) > 1 || !bel.unanswered(between[0], most) {
		return nil
	}
	if moved*b.Pull(stock) > otherWayLeast+otherWaySDs*sd { // something of it is in: a weaker one, or the rest falls still
		return bel.weaker(now.After, stock, most)
	}
	return []account.Mistake{{Name: fmt.Sprintf("addition %d did not reach the beaker", now.After), Code: fmt.Sprintf("missed:%d", now.After), Missed: now.After}}
}

// otherWay is what moves a reading the other way than the bottle k-th given does: the bottle
// holds the other kind, or one of the other kind was taken for it.
func (bel *Belief) otherWay(k, stock int) (out []account.Mistake) {
	b := bel.Bench
	if i := slices.IndexFunc(b.Mistakes, func(m account.Mistake) bool { return m.Stock == stock+1 }); i >= 0 {
		out = append(out, b.Mistakes[i])
	}
	for _, m := range b.Exchanges(bel.History, k) {
		if b.Pull(m.Was.Stock) == -b.Pull(stock) {
			out = append(out, m)
		}
	}
	return out
}

// weaker are the bottles of the same kind as that k-th given of which as much would have moved
// the reading by no more than most, pH, as far as is known.
func (bel *Belief) weaker(k, stock int, most float64) (out []account.Mistake) {
	b := bel.Bench
	for _, m := range b.Exchanges(bel.History, k) {
		if b.Pull(m.Was.Stock) == b.Pull(stock) && !bel.unanswered(m.Was, most) {
			out = append(out, m)
		}
	}
	return out
}

// unanswered reports whether no capacity that the earlier steps leave explains an addition that
// has moved the reading by no more than most, pH, in its direction.
func (bel *Belief) unanswered(a account.Addition, most float64) bool {
	b, h := bel.Bench, bel.History
	before := stranger(b, h.Earlier(len(h.Observations)-1), b.Target)
	charge, lnSD := before.Ahead(chem.PH(before.Now.PH+b.Pull(a.Stock)*most), a.Stock)
	return math.Log(b.LabelledCharge(a)/charge.Moles()) > unansweredSDs*lnSD
}

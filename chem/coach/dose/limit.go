package dose

import "math"

// The chance of passing aim + tolerance that an addition may have. The first one
// rests on labels alone: nothing has been seen yet of how the beaker answers. One
// that may well be the last is worth more: it saves the time of another. Settled readings
// are as a rule twice as good as their spreads say, so that fewer pass than that.
const (
	firstChance = 0.0008
	seenChance  = 0.007 // of a first one from a bottle that earlier runs have shown
	maxChance   = 0.02
	lastChance  = 0.03
	// Those of an electrode with a large late part, whose readings are no better than
	// their spreads say.
	lateMax  = 0.007
	lateLast = 0.015
)

// An addition may well be the last when its chance to end so near to the aim that
// nothing more is needed is this; and how near that is, as part of the tolerance.
const (
	lastShare  = 0.3
	endsWithin = 0.65
)

// Limit is the chance that the next addition may have. The first one rests on
// nothing but labels, unless earlier runs have shown what a drop of it brings.
func (d *Dosing) Limit() float64 {
	switch first := len(d.bel.History.Additions) == 0; {
	case first && d.b.Stocks[d.stock].Learned == nil:
		return firstChance
	case first:
		return seenChance
	case d.bel.History.Late:
		return lateMax
	}
	return maxChance
}

// last is the chance that an addition may have that may well be the last.
func (d *Dosing) last() float64 {
	if d.bel.History.Late {
		return lateLast
	}
	return lastChance
}

// Where accounts differ in where the aim is, small steps lower no risk: they only share
// it out. After so many additions in a row that were each less than this part of what was
// left, the chance doubles with every further one.
const (
	crawlShare = 0.125
	crawlsFrom = 2
	crawlMost  = 0.1 // up to this chance
)

// crawls is how many of the latest additions, in a row, were each a small part of what
// is left to give of a stock.
func (d *Dosing) crawls() (n int) {
	left := math.Abs(d.charge(d.most()))
	adds := d.bel.History.Additions
	for n < len(adds) && math.Abs(d.b.LabelledCharge(adds[len(adds)-1-n])) < crawlShare*left {
		n++
	}
	return n
}

// chanceOf is the chance that the next addition may have, after steps that led nowhere.
func (d *Dosing) chanceOf() float64 {
	limit := d.Limit()
	return math.Max(limit, math.Min(crawlMost, limit*math.Exp2(float64(max(0, d.crawls()-crawlsFrom+1)))))
}

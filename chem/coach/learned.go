package coach

import (
	"math"

	"example.org/halfdrop/chem/linalg"
)

// What earlier runs have shown of a bottle and its dropper is a prior of this one.
// Readings show only how much a drop brings: the product of its size and the
// strength, never one of the two. So it is the product that is told here, with the
// part of its spread that all bottles of one dropper share.
//
// wideShare of the belief stays with what the labels alone say: the bottle may be
// another one, or filled anew, and nobody has told the program. A choice of this
// project. In 24 remembered runs on the simulated bench a bottle 25 % stronger was never
// overshot with (8 % with a share of 0.04).
const wideShare = 0.30

// Learned is what is known of a drop of a stock, as far as it is known better than
// by the labels.
type Learned struct {
	LnFactor float64 // ln(charge of a drop / labelled charge of it), most probable
	LnPoured float64 // the same of a volume measured in mL: the strength alone
	SharedSD float64 // of LnFactor, the part that stocks of the same dropper share
	OwnSD    float64 // and the part that is of this stock alone
	PouredSD float64 // of LnPoured
	Seen     bool    // the bottle itself was used, not only its dropper
}

// seenShare of the prior is left to a mistake with a bottle that earlier runs have
// shown to be right, unless it was exchanged.
const seenShare = 0.60

// likely is the prior of a mistake under a degree of care.
func (b *Bench) likely(m *Mistake, c care) float64 {
	if m.Stock > 0 && c.fresh && b.stronger(m) {
		return freshGross * m.Prior * c.prior
	}
	if m.Stock > 0 && !c.fresh {
		if l := b.Stocks[m.Stock-1].Learned; l != nil && l.Seen {
			return seenShare * m.Prior * c.prior
		}
	}
	return m.Prior * c.prior
}

// freshGross is how many times likelier a bottle that was exchanged is a stronger one
// than one that is known by its label alone: who exchanges a bottle and tells nobody has
// not looked at labels either. A choice of this project. In 40 remembered runs on the
// simulated bench, on seeds that it was not chosen on, a bottle twice as strong was
// overshot with in 45, 5 and 0 % with 1, 10 and 20 of it, one half as strong again in
// none; the additions of the same bottle were 3.17, 3.33 and 3.45, and 3.60 where nothing
// was remembered.
const freshGross = 10

// stronger reports whether a mistake is a bottle stronger than its label.
func (b *Bench) stronger(m *Mistake) bool {
	is, label := m.PerLitre.Charge, b.Stocks[m.Stock-1].PerLitre.Charge
	return is*label > label*label
}

// learned is what is remembered of a stock under an account, nil when it goes by
// the labels alone.
func (b *Bench) learned(h *hypothesis, stock int) *Learned {
	if h.care.fresh {
		return nil
	}
	return b.Stocks[stock].Learned
}

// remembers reports whether anything is remembered of the stocks.
func (b *Bench) remembers() bool {
	for i := range b.Stocks {
		if b.Stocks[i].Learned != nil {
			return true
		}
	}
	return false
}

// careful are the degrees of care that the accounts of a bench go by: where
// something is remembered, one of them has forgotten it.
func (b *Bench) careful() []care {
	if !b.remembers() {
		return cares[:]
	}
	out := make([]care, 0, len(cares)+1)
	for _, c := range cares {
		c.prior *= 1 - wideShare
		c.drop, c.strength = math.Min(c.drop, seenWider), math.Min(c.strength, seenWider)
		out = append(out, c)
	}
	c := cares[0]
	c.prior, c.drop, c.strength, c.fresh = wideShare, freshWider, freshWider, true
	return append(out, c)
}

// seenWider is how much wider careless hands make what was seen: it was seen in
// those hands.
const seenWider = 1.5

// freshWider is how much wider than by its label a bottle is thought of that was
// exchanged.
const freshWider = 1.5

// Shown is what the readings of one run say of the drops of a stock, whatever was
// thought of them before.
type Shown struct {
	Stock    int
	LnFactor float64 // ln(charge of a drop / labelled charge of it)
	OwnSD    float64 // of LnFactor, the part that is of this stock alone
	Poured   bool    // it is of its mL: none of it was counted in drops
}

// Lesson is what a run has shown of its stocks.
type Lesson struct {
	Stocks   []Shown
	SharedSD float64 // of LnFactor, the part that all of them have in common: what was weighed
}

// Figures of judgement of what a run teaches, a choice of this project.
const (
	teachWide  = 1.0  // ln, prior spread of a drop when its run is asked for it alone
	teachSD    = 0.10 // ln, spread of what was shown above which it is no lesson
	teachSound = 0.90 // probability of "as planned" from which on a run teaches
)

// Learn is what a history that has ended well says of the drops of its stocks. ok
// is false when it says nothing: where "as planned" is not what the readings speak
// for, they do not tell what a drop was either.
func (b *Bench) Learn(h History) (l Lesson, ok bool) {
	if b.Unweighed || len(h.Observations) < 2 || !b.soundly(h) {
		return l, false
	}
	shown, p, ok := b.openly(h)
	if !ok {
		return l, false
	}
	var all []predicted
	for _, q := range shown {
		if q.sd <= teachSD {
			all = append(all, q.predicted)
			l.Stocks = append(l.Stocks, Shown{Stock: q.stock, LnFactor: q.mean, OwnSD: q.sd, Poured: q.poured})
		}
	}
	if len(all) == 0 {
		return l, false
	}
	l.share(p, all)
	return l, true
}

// openMinded is the bench of somebody who thinks nothing of its drops.
func (b *Bench) openMinded() *Bench {
	w := &Bench{Model: b.Model, Use: b.Use, Weighed: b.Weighed, Water: b.Water, Buffer: b.Buffer,
		Start: b.Start, Final: b.Final, FinalKg: b.FinalKg, Target: b.Target, Tolerance: b.Tolerance, DoubtPH: b.DoubtPH, DoubtLn: b.DoubtLn}
	for _, s := range b.Stocks {
		s.Learned, s.DropSD, s.StrengthSD = nil, 0, teachWide
		w.Stocks = append(w.Stocks, s)
	}
	return w
}

// factorOf is the factor of the drops of a stock as a posterior has it.
func (b *Bench) factorOf(p *posterior, stock, adds int) predicted {
	d := b.droppers()
	u := predicted{grad: make([]float64, len(p.x)), scat: make([]float64, adds), w: make([]float64, len(p.v))}
	for _, i := range []int{iDropper + b.Stocks[stock].Dropper, iDropper + d + stock} {
		u.grad[i] = 1
		u.mean += p.x[i]
	}
	for i := range u.w {
		u.w[i] = linalg.Dot(p.w[i*len(p.x):(i+1)*len(p.x)], u.grad)
	}
	return u
}

// share parts the spread of each stock, in OwnSD until now, into what is common to
// all of them and its own.
func (l *Lesson) share(p *posterior, all []predicted) {
	shared := amountSD * amountSD
	for i := range all {
		shared = math.Min(shared, 0.9*l.Stocks[i].OwnSD*l.Stocks[i].OwnSD)
		for j := range i {
			shared = math.Min(shared, math.Max(p.cov(all[i], all[j]), 0))
		}
	}
	l.SharedSD = math.Sqrt(shared)
	for i := range l.Stocks {
		s := &l.Stocks[i]
		s.OwnSD = math.Sqrt(s.OwnSD*s.OwnSD - shared)
	}
}

// soundly reports whether a history speaks for "as planned".
func (b *Bench) soundly(h History) bool {
	bel := b.Believe(h)
	_, mistaken := bel.suspects()
	return 1-mistaken-bel.free.weight >= teachSound
}

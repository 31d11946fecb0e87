package account

import "math"

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
func (b *Bench) likely(m *Mistake, c Care) float64 {
	if m.Stock > 0 && c.Fresh && b.stronger(m) {
		return freshGross * m.Prior * c.Prior
	}
	if m.Stock > 0 && !c.Fresh {
		if l := b.Stocks[m.Stock-1].Learned; l != nil && l.Seen {
			return seenShare * m.Prior * c.Prior
		}
	}
	return m.Prior * c.Prior
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

// learned is what is remembered of a stock, nil when it goes by
// the labels alone.
func (c *Care) learned(b *Bench, stock int) *Learned {
	if c.Fresh {
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
func (b *Bench) careful() []Care {
	if !b.remembers() {
		return cares[:]
	}
	out := make([]Care, 0, len(cares)+1)
	for _, c := range cares {
		c.Prior *= 1 - wideShare
		c.Drop, c.Strength = math.Min(c.Drop, seenWider), math.Min(c.Strength, seenWider)
		out = append(out, c)
	}
	c := cares[0]
	c.Prior, c.Drop, c.Strength, c.Fresh = wideShare, freshWider, freshWider, true
	return append(out, c)
}

// seenWider is how much wider careless hands make what was seen: it was seen in
// those hands.
const seenWider = 1.5

// freshWider is how much wider than by its label a bottle is thought of that was
// exchanged.
const freshWider = 1.5

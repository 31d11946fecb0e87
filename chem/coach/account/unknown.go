package account

import (
	"math"

	"example.org/halfdrop/chem"
)

// The unknowns of every account: these three, then one per dropper, then one per stock, ln of
// what is true over what is labelled, and last the charge of what was added without being logged.
const (
	weighing     = iota // ln(true amount weighed / plan)
	Excess              // starting strong base excess, fraction of the buffer
	Shift               // pH shown minus pH of the model, at the aim
	firstDropper        // the first of the droppers
	// MaxUnknowns is how many there are at the most.
	MaxUnknowns = firstDropper + 2*maxStocks + 1
)

// Linear reports whether charge is linear in an unknown of so many.
func Linear(unknown, of int) bool { return unknown == Excess || unknown == of-1 }

// DropUnknowns are the numbers of the unknowns that make a drop of a stock: that of its
// dropper and that of its strength.
func (b *Bench) DropUnknowns(stock int) [2]int {
	return [2]int{firstDropper + b.Stocks[stock].Dropper, firstDropper + b.droppers() + stock}
}

// Prior spreads for ordinary care, as standard deviations (design figures,
// a choice of this project; nobody publishes them).
const (
	// WeighedSD is that of ln of an amount weighed.
	WeighedSD = 0.015
	excessSD  = 0.015 // starting acid or base excess, fraction of the buffer
	begunSD   = 0.5   // the same of a beaker that somebody has begun to titrate
	shiftSD   = 0.032 // pH, one shift of the scale in this beaker: that of a calibrated meter
	scatterSD = 0.05  // of single drops, relative
	pouredSD  = 0.02  // of a volume measured in mL, relative
	jumpSD    = 0.2   // charge of an addition that was not logged, fraction of the buffer
)

// amountSD is the standard deviation of ln(amount weighed).
func (b *Bench) amountSD() float64 {
	if b.AmountSD > 0 {
		return b.AmountSD
	}
	return WeighedSD
}

// Priors are the prior variances of the unknowns.
func (a *Account) Priors() []float64 {
	b := a.bench
	d := b.droppers()
	p := make([]float64, firstDropper+d+len(b.Stocks)+1)
	p[weighing], p[Excess] = a.amount*a.amount+b.DoubtLn*b.DoubtLn, excessSD*excessSD
	if a.begun {
		p[Excess] = begunSD * begunSD
	}
	p[Shift] = math.Pow(shiftSD*a.Care.Shift, 2) + b.DoubtPH*b.DoubtPH
	if a.jump > 0 {
		p[len(p)-1] = math.Pow(jumpSD*a.buffer, 2)
	}
	for j, s := range b.Stocks {
		sd, st := s.DropSD, s.StrengthSD
		if l := a.Care.learned(b, j); l != nil {
			sd, st = l.SharedSD, l.OwnSD
		}
		sd, st = sd*a.Care.Drop, st*a.Care.Strength
		p[firstDropper+s.Dropper] = max(p[firstDropper+s.Dropper], sd*sd)
		p[firstDropper+d+j] = st * st
	}
	return p
}

// Factors are what nominal volumes have to be multiplied with, per stock:
// counted in drops, and measured in mL.
type Factors struct{ drops, poured [maxStocks]float64 }

// Factors are those of values of the unknowns.
func (a *Account) Factors(x []float64) (f Factors) {
	b := a.bench
	d := b.droppers()
	for j := range b.Stocks {
		f.poured[j] = math.Exp(x[firstDropper+d+j])
		f.drops[j] = f.poured[j] * math.Exp(x[firstDropper+b.Stocks[j].Dropper])
		if l := a.Care.learned(b, j); l != nil {
			f.poured[j] *= math.Exp(l.LnPoured)
			f.drops[j] *= math.Exp(l.LnFactor)
		}
	}
	return f
}

// Drops is the factor of the drops of a stock.
func (f *Factors) Drops(stock int) float64 { return f.drops[stock] }

func (f *Factors) of(a *Addition) float64 {
	if a.Drops > 0 {
		return f.drops[a.Stock]
	}
	return f.poured[a.Stock]
}

// Beaker is the composition with additions in it, for values of the unknowns.
func (a *Account) Beaker(adds []Addition, x []float64) chem.Composition {
	f := a.Factors(x)
	return a.Added(adds, 0, &f, x, a.Untouched(x))
}

// Untouched is the beaker before any addition.
func (a *Account) Untouched(x []float64) chem.Composition {
	c := a.bench.Water.Plus(math.Exp(x[weighing]), a.Weighed)
	c.Charge += x[Excess] * a.buffer
	return c
}

// Added is a beaker that holds the first of the additions, up to number done, with the others.
func (a *Account) Added(adds []Addition, done int, f *Factors, x []float64, c chem.Composition) chem.Composition {
	if a.jump > done && a.jump <= len(adds) {
		c.Charge += x[len(x)-1]
	}
	for k := done; k < len(adds); k++ {
		if k+1 != a.missed {
			add := a.given(adds, k)
			c = c.Plus(add.Volume.Litres()*f.of(add), a.Stocks[add.Stock])
		}
	}
	return c
}

// given is addition k, from 0, as it was by this account.
func (a *Account) given(adds []Addition, k int) *Addition {
	if k+1 == a.other {
		return &a.was
	}
	return &adds[k]
}

// Planned is the beaker as planned, with additions by what is thought of their drops.
func (b *Bench) Planned(adds []Addition) chem.Composition {
	a := b.AsPlanned()
	return a.Beaker(adds, a.nothing())
}

// nothing are the unknowns before any reading.
func (a *Account) nothing() []float64 { return make([]float64, len(a.Priors())) }

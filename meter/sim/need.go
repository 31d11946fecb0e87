package sim

import (
	"math"
	"slices"

	"example.org/halfdrop/chem"
)

// Need is the volume in L, as the labels count it, of a titrant that would
// bring MadeUp to the goal if drops did not scatter; NaN for a titrant that
// leads the other way or never gets there. Only who knows the truth can know it.
func (b *Bench) Need(titrant string, goal float64) float64 {
	b.mu.Lock()
	defer b.mu.Unlock()
	j := slices.Index(b.names, titrant)
	if j < 0 {
		return math.NaN()
	}
	ph := b.unmeter(goal)
	v := b.balance(ph, &b.bottles[j])
	if !(v >= 0) || math.IsInf(v, 0) {
		return math.NaN()
	}
	return v / math.Exp(at(b.truth.LnDrop, b.setup.Stocks[j].Dropper))
}

// onesided is the normal quantile of half a per cent in one tail.
const onesided = 2.576

// Safe is the largest number of drops of a titrant whose mean does not lead past a goal and
// whose chance of leading past it by more than within is half a per cent at most.
func (b *Bench) Safe(titrant string, goal, within chem.PH) float64 {
	j := slices.Index(b.names, titrant)
	if j < 0 {
		return math.NaN()
	}
	drop := b.setup.Stocks[j].Drop.Litres()
	mid := b.Need(titrant, float64(goal)) / drop
	end := b.Need(titrant, float64(goal)+math.Copysign(float64(within), float64(goal)-b.MadeUp())) / drop
	// n (1 + z s/√n) ≤ end is a square in √n.
	z := onesided * b.truth.Scatter
	root := (-z + math.Sqrt(z*z+4*end)) / 2
	return math.Floor(math.Min(mid+1e-9, root*root))
}

// balance is the volume of a bottle, L, that makes the beaker neutral at the
// pH when made up: explicit but for the medium and for water past the mark.
func (b *Bench) balance(ph float64, bottle *chem.Composition) float64 {
	var md chem.Medium
	v := 0.0
	for range 50 {
		c := b.madeUp(b.total.Plus(v, *bottle))
		bal := b.use.BalanceIn(ph, &md, &c)
		per, _ := b.use.ChargeIn(ph, &md, bottle)
		dv := -bal.Charge / per
		v += dv
		if math.Abs(dv) <= 1e-9*math.Abs(v) {
			return v
		}
		if v < -b.total.Water || math.IsNaN(v) {
			break
		}
	}
	return math.NaN()
}

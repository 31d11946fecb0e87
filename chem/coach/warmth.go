package coach

import (
	"math"

	"example.org/halfdrop/chem"
)

// ReadAt is what a settled reading of the beaker, with the additions in it that had been
// made by then, would be at the temperature of another bench: the plan's composition, held at
// that pH by whatever acid or base it takes, solved anew there. It is the reading itself where
// nobody knows what is in the beaker, or where no such beaker can be.
func (b *Bench) ReadAt(other *Bench, o Observation, adds []Addition) float64 {
	if b.Unweighed || o.After > len(adds) {
		return o.PH
	}
	c := b.Planned(adds[:o.After])
	var md chem.Medium
	held := b.Model.BalanceIn(o.PH, &md, &c)
	c.Charge -= held.Charge
	e, err := other.Model.SolveNear(&c, chem.Equilibrium{PH: o.PH, Strength: held.Strength})
	if err != nil || math.IsNaN(e.PH) {
		return o.PH
	}
	return e.PH
}

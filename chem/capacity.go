package chem

import (
	"math"

	"example.org/halfdrop/chem/pitzer"
)

// Capacity is the strong base, in mol for the whole of c, that raises the pH
// by one at the present slope, the medium following. It is the buffer value β
// of D. D. Van Slyke, J. Biol. Chem. 52, 525 (1922), times the volume, by
// differences over two steps of about 0.001 in pH.
func (m *Model) Capacity(c *Composition, e Equilibrium) float64 {
	var md Medium
	if _, err := m.SolveIn(c, e.PH, &md); err != nil {
		return math.NaN()
	}
	return m.CapacityIn(c, e, &md)
}

// CapacityIn is Capacity in the medium that belongs to c.
func (m *Model) CapacityIn(c *Composition, e Equilibrium, md *Medium) float64 {
	const step = 1e-3
	n := -step * e.Slope
	at, rise := *md, [2]float64{}
	for i := range rise {
		x := *c
		x.add(m.act, float64(i+1)*n)
		y, err := m.SolveIn(&x, e.PH+float64(i+1)*step, &at)
		if err != nil {
			return math.NaN()
		}
		rise[i] = y.PH - e.PH
	}
	return 2 * n / (4*rise[0] - rise[1])
}

// add puts n mol of sodium hydroxide into a composition.
func (c *Composition) add(a *pitzer.Set, n float64) {
	for slot, k := range a.Strong {
		if k == a.Na {
			c.Ions[slot] += n
		}
	}
	c.Charge += n
	c.Strength += n
}

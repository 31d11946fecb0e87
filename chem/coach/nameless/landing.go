package nameless

import (
	"math"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach/normal"
)

// Landing is the settled reading, pH, to expect after a labelled charge of a bottle, with its
// central 95 %.
func (n *Account) Landing(charge chem.Amount, stock int) (after, low, high float64) {
	given := charge.Moles()
	_, lnSD := n.Ahead(n.toward(given, spreadFrom), stock)
	spread := math.Exp(normal.Central * lnSD)
	after, low, high = n.reach(given, stock), n.reach(given/spread, stock), n.reach(given*spread, stock)
	sd := normal.Central * n.Now.SD
	return after, math.Min(low, high) - sd, math.Max(low, high) + sd
}

// toward is the pH a way off the present reading, to the side that a charge leads to.
func (n *Account) toward(charge, way float64) chem.PH {
	return chem.PH(n.Now.PH + math.Copysign(way, charge))
}

// reach is the pH that a charge of a bottle leads to, if it is what its label says.
func (n *Account) reach(charge float64, stock int) float64 {
	takes := func(to float64) float64 {
		got, _ := n.Ahead(chem.PH(to), stock)
		return math.Abs(got.Moles())
	}
	near, far := n.Now.PH, float64(n.toward(charge, farthest))
	// Outwards, to the first pH that takes so much: further off, where little is known of
	// the capacity, less may seem to.
	for way := reachFirst; way < farthest; way *= reachOn {
		to := float64(n.toward(charge, way))
		if takes(to) >= math.Abs(charge) {
			far = to
			break
		}
		near = to
	}
	for range 14 {
		if mid := (near + far) / 2; takes(mid) < math.Abs(charge) {
			near = mid
		} else {
			far = mid
		}
	}
	return near
}

// Figures of the numerics: how far off, pH, the spread of a bottle is taken from; how far a
// landing is looked for at first, each time further by so much, and at the most.
const (
	spreadFrom = 0.5
	reachFirst = 0.05
	reachOn    = 1.25
	farthest   = 6.0
)

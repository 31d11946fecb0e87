package chem

import "math"

// Balance is the net charge of a composition held at a pH: zero at its own
// pH, positive when the composition would be more alkaline than that.
type Balance struct {
	Charge   float64 // mol
	Slope    float64 // d Charge / d pH at constant ionic strength, mol; never positive
	Strength float64 // ionic strength, mol/kg
}

// ChargeAt is the charge balance of c held at the given pH, with the ionic
// strength that belongs to it. It is explicit but for that ionic strength,
// which is found by Newton's method inside a bracket, from near (mol/kg).
func (m *Model) ChargeAt(ph, near float64, c *Composition) Balance {
	h := math.Exp(-math.Ln10 * ph)
	half := 0.5 / c.Water
	lo, hi := 0.0, math.Inf(1)
	strength := near
	if !(strength > 0) {
		strength = c.Strength * half
	}
	var s moments
	for range 100 {
		lnG, dG := m.activity(strength)
		s = m.at(h, math.Exp(lnG), c)
		gap := s.square*half - strength
		if gap > 0 {
			lo = strength
		} else {
			hi = strength
		}
		next := strength - gap/(s.squareG*half*dG-1)
		if !(next > lo && next < hi) {
			// hi may still be open; the sum itself bounds the answer while it falls short.
			if next = (lo + hi) / 2; math.IsInf(hi, 1) {
				next = 2*s.square*half + 1e-9
			}
		}
		done := math.Abs(next-strength) <= 1e-9*next
		strength = next
		if done {
			break
		}
	}
	return Balance{Charge: s.charge(), Slope: -math.Ln10 * s.chargeH(), Strength: strength}
}

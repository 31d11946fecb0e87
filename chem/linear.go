package chem

import "math"

// ChargeIn is the charge that c carries when held at the given pH and ionic
// strength (mol/kg), and its slope with pH. At a fixed pH and ionic strength
// it is linear in c, so that parts of a mixture can be taken one by one.
func (m *Model) ChargeIn(ph, strength float64, c *Composition) (charge, slope float64) {
	lnG, _ := m.activity(strength)
	s := m.at(math.Exp(-math.Ln10*ph), math.Exp(lnG), c)
	return s.charge(), -math.Ln10 * s.chargeH()
}

// HeldAt is the charge of c held at the given pH and ionic strength, and its
// Σ z²n, both in mol and both linear in c.
func (m *Model) HeldAt(ph, strength float64, c *Composition) (charge, square float64) {
	at := m.medium(strength)
	s := m.at(math.Exp(-math.Ln10*ph), at.g, c)
	return s.charge(), s.square
}

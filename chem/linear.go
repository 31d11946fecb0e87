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

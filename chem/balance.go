package chem

import (
	"math"

	"example.org/halfdrop/chem/pitzer"
)

// Balance is the net charge of a composition held at a pH: zero at its own
// pH, positive when the composition would be more alkaline than that.
type Balance struct {
	Charge   float64 // mol
	Slope    float64 // d Charge / d pH in a held medium, mol; never positive
	Strength float64 // ionic strength, mol/kg
}

// ChargeAt is the charge balance of c held at the given pH by a strong acid or
// base, in the medium that belongs to that, which is looked for from an ionic
// strength that is near (mol/kg).
func (m *Model) ChargeAt(ph PH, near float64, c *Composition) Balance {
	if !(near > 0) {
		near = c.firstStrength()
	}
	var md Medium
	m.crude(near, &md)
	return m.BalanceIn(float64(ph), &md, c)
}

// BalanceIn is the charge balance of c held at the given pH by a strong acid or
// base, whose ions are Cl⁻ or Na⁺. It starts from a medium that is near, or
// from one that is not made, and leaves the medium that belongs to c there. What
// no beaker can hold has none: all is NaN, and the medium is not made.
func (m *Model) BalanceIn(ph float64, md *Medium, c *Composition) Balance {
	if !md.made {
		m.crude(c.firstStrength(), md)
	}
	h := math.Exp(-math.Ln10 * ph)
	var fo follower
	for range mostSteps {
		clear(fo.mol[:])
		m.held(h, md, c, &fo.mol, &fo.field)
		if fo.next(m, md, 0) {
			break
		}
	}
	if s := md.strength; math.IsNaN(s) {
		md.made = false
		return Balance{Charge: s, Slope: s, Strength: s}
	}
	s := m.at(h, md, c)
	return Balance{Charge: s.charge(), Slope: -math.Ln10 * s.chargeH(), Strength: md.strength}
}

// held are the molalities of a composition held at an activity of H⁺, with the
// ions of what holds it there.
func (m *Model) held(h float64, md *Medium, c *Composition, mol *[pitzer.MaxLocal]float64, f *pitzer.Field) {
	m.strongIons(c, mol, f)
	m.molalities(h, md, c, mol)
	q := m.charge(h, md, c) / c.Water
	if q > 0 {
		mol[m.act.Cl] += q
	} else {
		mol[m.act.Na] -= q
	}
}

// ChargeIn is the charge that c carries when held at the given pH in a medium,
// and its slope with pH. It is linear in c, so that parts of a mixture can be
// taken one by one: in the medium of the mixture, not in their own.
func (m *Model) ChargeIn(ph float64, md *Medium, c *Composition) (charge, slope float64) {
	h := math.Exp(-math.Ln10 * ph)
	if len(m.cx) == 0 {
		s := m.at(h, md, c)
		return s.charge(), -math.Ln10 * s.chargeH()
	}
	const step = 1e-4 // of ln a(H⁺)
	at := func(h float64) float64 { return m.simpleCharge(h, md, c) + m.heldComplexes(h, md, c) }
	return at(h), -math.Ln10 * (at(h*(1+step)) - at(h*(1-step))) / (2 * step)
}

// daviesLnG is ln γ of an ion of one charge at an ionic strength in mol/kg;
// one of charge z has z² times as much.
func (m *Model) daviesLnG(strength float64) float64 {
	return -math.Ln10 * m.a * pitzer.Davies(strength)
}

package chem

import (
	"fmt"
	"math"
)

// The pH is looked for between these; nothing on a bench lies outside.
const (
	lowestPH  = -2.0
	highestPH = 16.0
)

// Equilibrium is a solved charge balance.
type Equilibrium struct {
	PH       float64
	Strength float64 // ionic strength, mol/kg
	Slope    float64 // d charge / d pH at constant ionic strength, mol; −Slope/kg is the buffer capacity
}

// Solve is the pH of a composition.
//
// With P and N the sums of positive and negative charge, ln P − ln N falls
// strictly with pH at a fixed ionic strength, since P falls and N rises. So at
// any ionic strength one pH balances the charges, and it depends on the ionic
// strength continuously; and the ionic strength that results is bounded, so
// that it crosses the assumed one somewhere below the bound. Newton's method
// in both unknowns is tried first; when it does not settle, the two nested
// brackets of this argument do, whatever the activity model. It returns
// ErrUnbalanced when no pH from −2 to 16 balances the charges.
func (m *Model) Solve(c *Composition) (Equilibrium, error) {
	return m.SolveNear(c, math.NaN(), math.NaN())
}

// SolveNear is Solve started from a pH and an ionic strength (mol/kg) that
// are near; NaN starts cold.
func (m *Model) SolveNear(c *Composition, ph, strength float64) (Equilibrium, error) {
	if !(c.Water > 0) || math.IsInf(c.Water, 0) {
		return Equilibrium{}, fmt.Errorf("chem: %w: no water", ErrVolume)
	}
	if !(strength >= 0 && strength < 1e3) {
		strength = 0.5*c.Strength/c.Water + 1e-7
	}
	if !(ph > lowestPH && ph < highestPH) {
		ph, _ = m.balance(c, strength, 7, 0.05)
	}
	e, ok := m.joint(c, ph, strength)
	if !ok {
		e, ok = m.nested(c)
	}
	if !ok {
		return Equilibrium{}, fmt.Errorf("chem: %w", ErrUnbalanced)
	}
	return e, nil
}

// joint is Newton's method on ln P = ln N and on the ionic strength at once.
// It reports false when it has not settled after a dozen steps.
func (m *Model) joint(c *Composition, ph, strength float64) (Equilibrium, bool) {
	half := 0.5 / c.Water
	x := -math.Ln10 * ph
	for range 12 {
		lnG, dG := m.activity(strength)
		s := m.at(math.Exp(x), math.Exp(lnG), c)
		p, n := 1/s.pos, 1/s.neg
		f1, f2 := math.Log(s.pos*n), s.square*half-strength
		a11, a12 := s.posH*p-s.negH*n, (s.posG*p-s.negG*n)*dG
		a21, a22 := s.squareH*half, s.squareG*half*dG-1
		det := a11*a22 - a12*a21
		dx, di := (a12*f2-a22*f1)/det, (a21*f1-a11*f2)/det
		if !(math.Abs(dx) <= 3) { // more than 1.3 pH is not near; NaN neither
			return Equilibrium{}, false
		}
		x += dx
		next := strength + di
		if next < 0 {
			next = strength / 4
		}
		if math.Abs(dx) < 1e-8 && math.Abs(next-strength) < 1e-8*strength {
			ph = x / -math.Ln10
			return Equilibrium{PH: ph, Strength: next, Slope: -math.Ln10 * s.chargeH()}, inRange(ph)
		}
		strength = next
	}
	return Equilibrium{}, false
}

func inRange(ph float64) bool { return ph > lowestPH && ph < highestPH }

// balance is the pH at a fixed ionic strength, by Newton's method on
// ln P − ln N inside a bracket, to the given step; and Σ z²n there.
func (m *Model) balance(c *Composition, strength, ph, step float64) (float64, moments) {
	lnG, _ := m.activity(strength)
	g := math.Exp(lnG)
	lo, hi := lowestPH-0.1, highestPH+0.1
	var s moments
	for range 200 {
		s = m.at(math.Exp(-math.Ln10*ph), g, c)
		f := math.Log(s.pos / s.neg)
		if f > 0 {
			lo = ph
		} else {
			hi = ph
		}
		next := ph + f/(math.Ln10*(s.posH/s.pos-s.negH/s.neg))
		if !(next > lo && next < hi) {
			next = (lo + hi) / 2
		}
		done := math.Abs(next-ph) <= step
		ph = next
		if done {
			break
		}
	}
	return ph, s
}

// nested bisects the ionic strength, with the pH balanced at each.
func (m *Model) nested(c *Composition) (Equilibrium, bool) {
	half := 0.5 / c.Water
	lo, hi := 0.0, m.strengthBound(c)*half
	var e Equilibrium
	for range 200 {
		mid := (lo + hi) / 2
		ph, s := m.balance(c, mid, 7, 1e-13)
		e = Equilibrium{PH: ph, Strength: s.square * half, Slope: -math.Ln10 * s.chargeH()}
		if math.IsNaN(ph) {
			return e, false
		}
		if e.Strength > mid {
			lo = mid
		} else {
			hi = mid
		}
		if hi-lo <= 1e-14*hi {
			break
		}
	}
	return e, inRange(e.PH)
}

// strengthBound is above Σ z²n of the composition at its own pH: every form
// at its highest charge, and as much H⁺ or OH⁻ as would balance that.
func (m *Model) strengthBound(c *Composition) float64 {
	sum := c.Strength + math.Abs(c.Charge) + c.Water // 1 mol/kg covers the ions of water
	for i := range m.sys {
		r := &m.row[i]
		z := math.Max(math.Abs(float64(r.z0)), math.Abs(float64(r.z0-r.steps)))
		sum += c.Totals[i] * (z*z + z)
	}
	return sum
}

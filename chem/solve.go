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

// Solve is the pH of a composition: the charge balance is monotone in pH at a
// fixed ionic strength, so it is bracketed and then solved by Newton's method
// with its analytic derivative; the ionic strength is an outer fixed point.
// It returns ErrUnbalanced when no pH from −2 to 16 balances the charges.
func (m *Model) Solve(c *Composition) (Equilibrium, error) {
	return m.SolveNear(c, math.NaN(), c.Strength/c.Water/2)
}

// SolveNear is Solve started from a pH and an ionic strength that are near.
func (m *Model) SolveNear(c *Composition, ph, strength float64) (Equilibrium, error) {
	var s sums
	for range 60 {
		g := m.gamma(strength)
		before := ph
		var ok bool
		if ph, s, ok = m.newton(c, g, ph); !ok {
			return Equilibrium{}, fmt.Errorf("chem: %w", ErrUnbalanced)
		}
		strength = s.square / c.Water / 2
		if math.Abs(ph-before) < 1e-11 {
			break
		}
	}
	return Equilibrium{PH: ph, Strength: strength, Slope: s.slope}, nil
}

// newton solves the charge balance at a fixed 10^D. The bracket keeps it safe:
// a step that leaves it is replaced by a bisection.
func (m *Model) newton(c *Composition, g, ph float64) (float64, sums, bool) {
	lo, hi := lowestPH, highestPH
	if !(ph > lo && ph < hi) {
		ph = 7
	}
	var s sums
	for range 100 {
		s = m.at(math.Exp(-math.Ln10*ph), g, c)
		if s.charge > 0 {
			lo = ph
		} else {
			hi = ph
		}
		step := -s.charge / s.slope
		next := ph + step
		if !(next > lo && next < hi) {
			next = (lo + hi) / 2
		}
		done := math.Abs(next-ph) < 1e-12
		ph = next
		if done {
			break
		}
	}
	return ph, s, ph > lowestPH+1e-6 && ph < highestPH-1e-6
}

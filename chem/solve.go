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
		// The counter-ions of the net charge of the spectators, at one charge each.
		strength = 0.5*(c.Strength+math.Abs(c.Charge))/c.Water + 1e-7
	}
	at := m.medium(strength)
	if !(ph > lowestPH && ph < highestPH) {
		ph, at = m.guess(c, at)
	}
	e, ok := m.joint(c, ph, at)
	if !ok {
		e, ok = m.nested(c)
	}
	if !ok {
		return Equilibrium{}, fmt.Errorf("chem: %w", ErrUnbalanced)
	}
	return e, nil
}

// decades are a(H⁺) at pH −2, −1 … 16.
var decades = func() (d [19]float64) {
	for i := range d {
		d[i] = math.Pow(10, -(lowestPH + float64(i)))
	}
	return d
}()

// guess is a pH and an ionic strength to start joint from: whole numbers of pH
// by halving at a given ionic strength, two halvings more at the one that
// results, and a straight line through the last two.
func (m *Model) guess(c *Composition, at medium) (float64, medium) {
	gInv, perKg := 1/at.g, 0.5/c.Water
	lo, hi := 0, len(decades)-1
	var qLo, qHi, square float64
	for hi-lo > 1 {
		mid := (lo + hi) / 2
		var q float64
		if q, square = m.charge(decades[mid], at.g, gInv, c); q > 0 {
			lo, qLo = mid, q
		} else {
			hi, qHi = mid, q
		}
	}
	const half, quarter = 0.31622776601683794, 0.5623413251903491 // 10^−½, 10^−¼
	ph, h, width := lowestPH+float64(lo), decades[lo], 1.0
	for _, f := range [2]float64{half, quarter} {
		width /= 2
		var q float64
		if q, square = m.charge(h*f, at.g, gInv, c); q > 0 {
			ph, h, qLo = ph+width, h*f, q
		} else {
			qHi = q
		}
	}
	at = m.medium(square * perKg)
	if qLo > 0 && qHi < 0 {
		return ph + width*qLo/(qLo-qHi), at
	}
	return ph + width/2, at
}

// joint is Newton's method on ln P = ln N and on the ionic strength at once.
// It reports false when it has not settled after a dozen steps.
//
// For ln(P/N) it takes 2(P−N)/(P+N), which is the same to third order, and
// the first row of the Jacobian is scaled by PN. Convergence is quadratic, so
// the step after one of 1e-5 leaves less than 1e-9.
func (m *Model) joint(c *Composition, ph float64, at medium) (Equilibrium, bool) {
	half := 0.5 / c.Water
	x := -math.Ln10 * ph
	h := math.Exp(x)
	for range 12 {
		s := m.at(h, at.g, c)
		f1 := 2 * (s.pos - s.neg) * s.pos * s.neg / (s.pos + s.neg)
		f2 := s.square*half - at.strength
		a11, a12 := s.posH*s.neg-s.negH*s.pos, (s.posG*s.neg-s.negG*s.pos)*at.slope
		a21, a22 := s.squareH*half, s.squareG*half*at.slope-1
		det := 1 / (a11*a22 - a12*a21)
		dx, di := (a12*f2-a22*f1)*det, (a21*f1-a11*f2)*det
		if !(math.Abs(dx) <= 3) { // more than 1.3 pH is not near; NaN neither
			return Equilibrium{}, false
		}
		x += dx
		next := at.strength + di
		if next < 0 {
			next = at.strength / 4
		}
		if math.Abs(dx) < 1e-5 && math.Abs(next-at.strength) < 1e-5*at.strength {
			ph = x / -math.Ln10
			return Equilibrium{PH: ph, Strength: next, Slope: -math.Ln10 * s.chargeH()}, inRange(ph)
		}
		h = grow(h, dx)
		g, before := at.g, at.lnG
		at.lnG, at.slope = m.activity(next)
		at.strength, at.g = next, grow(g, at.lnG-before)
	}
	return Equilibrium{}, false
}

// grow is v·e^d, by a series that is good to 1e-13 when d is small.
func grow(v, d float64) float64 {
	if math.Abs(d) > 0.1 {
		return v * math.Exp(d)
	}
	return v * (1 + d*(1+d*(1./2+d*(1./6+d*(1./24+d*(1./120+d*(1./720+d*(1./5040))))))))
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
// at its highest charge, and as much H⁺, OH⁻ or carbonate as would balance that.
func (m *Model) strengthBound(c *Composition) float64 {
	sum := c.Strength + 2*math.Abs(c.Charge) + c.Water // 1 mol/kg covers the ions of water
	for i := range m.sys {
		r := &m.row[i]
		z := math.Max(math.Abs(float64(r.z0)), math.Abs(float64(r.z0-r.steps)))
		sum += c.Totals[i] * (z*z + 2*z)
	}
	return sum
}

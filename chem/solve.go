package chem

import (
	"fmt"
	"math"

	"example.org/halfdrop/chem/pitzer"
)

// The pH is looked for between these; nothing on a bench lies outside.
const (
	lowestPH  = -4.0
	highestPH = 19.0
)

// Equilibrium is a solved charge balance.
type Equilibrium struct {
	PH       float64
	Strength float64 // ionic strength, mol/kg
	Slope    float64 // d charge / d pH in a held medium, mol; −Slope/kg is the buffer capacity
}

// Solve is the pH of a composition.
//
// In a held medium, with P and N the sums of positive and negative charge,
// ln P − ln N falls strictly with pH, since P falls and N rises: one pH
// balances the charges. The medium then follows the ions that are there
// (follower), and both are repeated until neither moves. It returns
// ErrUnbalanced when no pH from −4 to 19 balances the charges.
func (m *Model) Solve(c *Composition) (Equilibrium, error) {
	return m.SolveNear(c, Equilibrium{PH: math.NaN(), Strength: math.NaN()})
}

// SolveNear is Solve started from the pH and the ionic strength of an equilibrium that is
// near; NaN starts cold.
func (m *Model) SolveNear(c *Composition, near Equilibrium) (Equilibrium, error) {
	var md Medium
	strength := near.Strength
	if !(strength >= 0 && strength < 1e3) {
		strength = c.firstStrength() + 1e-7
	}
	m.crude(strength, &md)
	return m.solveFrom(c, near.PH, &md, true)
}

// SolveIn is Solve started from a pH and a medium that are near, and leaves
// the medium that belongs to the answer. A pH of NaN or a medium that is not
// made starts cold.
func (m *Model) SolveIn(c *Composition, ph float64, md *Medium) (Equilibrium, error) {
	crude := !md.made
	if crude {
		m.crude(c.firstStrength()+1e-7, md)
	}
	return m.solveFrom(c, ph, md, crude)
}

func (m *Model) solveFrom(c *Composition, ph float64, md *Medium, crude bool) (Equilibrium, error) {
	if !(c.Water > 0) || math.IsInf(c.Water, 0) {
		return Equilibrium{}, fmt.Errorf("chem: %w: no water", ErrVolume)
	}
	if most := 1e6 * c.Water; !(math.Abs(c.Charge) <= most && c.Strength <= 2*most) {
		return Equilibrium{}, fmt.Errorf("chem: %w", ErrUnbalanced)
	}
	if !(ph > lowestPH && ph < highestPH) {
		ph = m.guess(c, md)
	}
	var base [pitzer.MaxLocal]float64
	var fo follower
	m.strongIons(c, &base, &fo.field)
	h := math.Exp(-math.Ln10 * ph)
	from := h
	enough := fairly
	if crude {
		enough = roughly
	}
	for range mostSteps {
		var step float64
		var ok bool
		if h, _, step, ok = m.neutral(h, md, c, enough); !ok {
			return Equilibrium{}, fmt.Errorf("chem: %w", ErrUnbalanced)
		}
		copy(fo.mol[:m.act.N], base[:m.act.N])
		m.molalities(h, md, c, &fo.mol)
		still := fo.next(m, md, step)
		if math.IsNaN(md.strength) {
			md.made = false
			return Equilibrium{}, fmt.Errorf("chem: %w", ErrUnbalanced)
		}
		if still {
			h, s, _, _ := m.neutral(h, md, c, exact)
			return Equilibrium{PH: phOf(h, ph, from), Strength: md.strength, Slope: -math.Ln10 * s.chargeH()}, nil
		}
		enough = max(min(fo.size/100, fairly), nearly)
	}
	return Equilibrium{}, fmt.Errorf("chem: %w", ErrUnsettled)
}

// phOf is −log10 h, by a series where h is near one of which the pH is known.
func phOf(h, ph, from float64) float64 {
	t := (h - from) / (h + from)
	t2 := t * t
	if t2 > 0.01 {
		return math.Log(h) / -math.Ln10
	}
	return ph - 2/math.Ln10*t*(1+t2*(1./3+t2*(1./5+t2*(1./7+t2*(1./9+t2*(1./11))))))
}

// Steps of ln a(H⁺) after which a pH counts as found: what is left is of the
// order of their square.
const (
	exact   = 5e-5 // of the answer: 5e-10 of a pH
	nearly  = 3e-4 // of a medium that may be the last
	fairly  = 3e-3 // of a medium that leads to the last
	roughly = 0.15 // of a medium that is not known yet
)

// mostSteps is how often a medium is brought up to date before it is given up.
const mostSteps = 250

// decades are a(H⁺) at pH −4, −3 … 19.
var decades = func() (d [24]float64) {
	for i := range d {
		d[i] = math.Pow(10, -(lowestPH + float64(i)))
	}
	return d
}()

// guess is a pH to start from in a held medium: whole numbers of pH by
// halving, two halvings more, and a straight line through the last two.
func (m *Model) guess(c *Composition, md *Medium) float64 {
	lo, hi := 0, len(decades)-1
	var qLo, qHi float64
	for hi-lo > 1 {
		mid := (lo + hi) / 2
		if q := m.charge(decades[mid], md, c); q > 0 {
			lo, qLo = mid, q
		} else {
			hi, qHi = mid, q
		}
	}
	const half, quarter = 0.31622776601683794, 0.5623413251903491 // 10^−½, 10^−¼
	ph, h, width := lowestPH+float64(lo), decades[lo], 1.0
	for _, f := range [2]float64{half, quarter} {
		width /= 2
		if q := m.charge(h*f, md, c); q > 0 {
			ph, h, qLo = ph+width, h*f, q
		} else {
			qHi = q
		}
	}
	if qLo > 0 && qHi < 0 {
		return ph + width*qLo/(qLo-qHi)
	}
	return ph + width/2
}

// The activities of H⁺ between which neutral looks.
var highestH, lowestH = math.Pow(10, -lowestPH), math.Pow(10, -highestPH)

// neutral is the activity of H⁺ that balances the charges in a held medium, by
// Newton's method from h, inside a bracket that it tightens, until a step is
// smaller than enough.
//
// ln(P/N) is 2 artanh t with t = (P−N)/(P+N), of which three terms are taken
// while t is small. Convergence is quadratic. It returns the moments from which
// the last step was made, and that step.
func (m *Model) neutral(h float64, md *Medium, c *Composition, enough float64) (next float64, s moments, step float64, ok bool) {
	hi, lo, hInv := highestH*1.3, lowestH/1.3, 1/h
	for range 200 {
		s = m.moments(h, hInv, md, c)
		q := s.pos - s.neg
		if q > 0 {
			hi = h
		} else {
			lo = h
		}
		// One division for both, ln(P/N) by its slope.
		slope, both := s.posH*s.neg-s.negH*s.pos, s.pos+s.neg
		inv := 1 / (slope * both)
		if t := q * slope * inv; math.Abs(t) < 0.5 {
			step = -2 * q * (s.pos * s.neg) * inv * (1 + t*t*(1./3+t*t*(1./5)))
		} else {
			step = -math.Log(s.pos/s.neg) * (s.pos * s.neg) / slope
		}
		if math.Abs(step) < 0.2 { // e^step by its series: nearer than the step is
			even := 1 + step*step*(1./2+step*step*(1./24))
			odd := step * (1 + step*step*(1./6+step*step*(1./120)))
			next, hInv = h*(even+odd), hInv*(even-odd)
		} else {
			next = h * math.Exp(step)
			hInv = 1 / next
		}
		if math.Abs(step) < enough {
			return next, s, step, next < highestH && next > lowestH
		}
		if !(next > lo && next < hi) {
			next = math.Sqrt(lo * hi)
			hInv = 1 / next
		}
		h = next
	}
	return h, s, step, false
}

package chem

import (
	"fmt"
	"math"
)

// MaxSystems is how many acid–base systems one Model holds.
const MaxSystems = 8

// maxSteps is how many protons one system can lose.
const maxSteps = 4

// Composition is a Solution reduced to what the charge balance needs, in the
// order of a Model's systems. It is linear: mixtures are sums.
type Composition struct {
	Water    float64             // kg
	Totals   [MaxSystems]float64 // mol of each system
	Charge   float64             // mol of net spectator charge, Σ zₙ
	Strength float64             // Σ z²n of the spectators, mol
}

// Plus is the composition with k times d added.
func (c Composition) Plus(k float64, d Composition) Composition {
	c.Water += k * d.Water
	for i := range c.Totals {
		c.Totals[i] += k * d.Totals[i]
	}
	c.Charge += k * d.Charge
	c.Strength += k * d.Strength
	return c
}

// Model is a set of acid–base systems at one temperature, ready to compute.
// It is not changed by use and may be shared between goroutines.
type Model struct {
	temp  Celsius
	ideal bool
	sys   []*System
	kw    float64 // ion product of water, molal, I = 0
	a     float64 // Debye–Hückel A, kg^½ mol^−½
	row   [MaxSystems]modelRow
}

type modelRow struct {
	steps int
	z0    float64
	k     [maxSteps]float64 // thermodynamic constants in the order of loss
}

// Option changes how a Model computes.
type Option func(*Model)

// Ideal switches activity coefficients off, to compare with textbooks.
func Ideal(m *Model) { m.ideal = true }

// NewModel prepares the systems at temperature t.
// It refuses more than MaxSystems systems and temperatures outside 0–60 °C.
func NewModel(t Celsius, systems []*System, opts ...Option) (*Model, error) {
	if !(t >= 0 && t <= 60) {
		return nil, fmt.Errorf("chem: %w: %g °C", ErrTemperature, float64(t))
	}
	if len(systems) > MaxSystems {
		return nil, fmt.Errorf("chem: %w", ErrTooMany)
	}
	m := &Model{temp: t, sys: systems, kw: math.Pow(10, -WaterPK(t)), a: DebyeHuckelA(t)}
	for i, s := range systems {
		m.row[i] = modelRow{steps: len(s.Steps), z0: float64(s.Charge)}
		for j, st := range s.Steps {
			m.row[i].k[j] = math.Pow(10, -st.PKAt(t))
		}
	}
	for _, o := range opts {
		o(m)
	}
	return m, nil
}

// Systems are the acid–base systems in the order of Composition.Totals.
func (m *Model) Systems() []*System { return m.sys }

// Temp is the temperature of the model.
func (m *Model) Temp() Celsius { return m.temp }

// Compose reduces a solution to this model's composition. Systems that the
// model does not hold are an error. The solution's temperature only sets the
// density of its water.
func (m *Model) Compose(s Solution) (Composition, error) {
	c := Composition{Water: s.WaterMass().Kilograms()}
	for _, t := range s.Systems {
		i := m.index(t.System)
		if i < 0 {
			return Composition{}, fmt.Errorf("chem: %s is not in the model", t.System.Name)
		}
		c.Totals[i] += t.Amount.Moles()
	}
	for _, t := range s.Ions {
		z := float64(t.Ion.Charge)
		c.Charge += z * t.Amount.Moles()
		c.Strength += z * z * t.Amount.Moles()
	}
	return c, nil
}

func (m *Model) index(s *System) int {
	for i, t := range m.sys {
		if t == s || t.Name == s.Name {
			return i
		}
	}
	return -1
}

// gamma is 10^D, where the activity coefficient of an ion of charge z is
// 10^(−z²D): Davies with 0.3 (C. W. Davies, Ion Association, 1962).
func (m *Model) gamma(strength float64) float64 {
	if m.ideal {
		return 1
	}
	r := math.Sqrt(strength)
	return math.Exp(math.Ln10 * m.a * (r/(1+r) - 0.3*strength))
}

// sums is what one pass over the species gives.
type sums struct {
	charge float64 // net charge, mol
	slope  float64 // d charge / d pH, mol per pH unit; never positive
	square float64 // Σ z²n over all ions, mol
}

// at sums charge over all species at a given H⁺ activity and a given 10^D.
func (m *Model) at(h, g float64, c *Composition) sums {
	hp, oh := c.Water*h*g, c.Water*m.kw/h*g
	s := sums{charge: c.Charge + hp - oh, slope: hp + oh, square: c.Strength + hp + oh}
	g2 := g * g
	for i := range m.sys {
		n := c.Totals[i]
		if n == 0 {
			continue
		}
		r := &m.row[i]
		// Conditional constants: K γ(HA)/γ(A) = K g^(1−2z), one factor g² more at each step.
		f := g * ipow(g2, -int(r.z0))
		z, term := r.z0, 1.0
		t0, t1, t2 := 1.0, z, z*z
		for j := range r.steps {
			term *= r.k[j] * f / h
			f *= g2
			z--
			t0 += term
			t1 += z * term
			t2 += z * z * term
		}
		mean := t1 / t0
		s.charge += n * mean
		s.slope += n * (t2/t0 - mean*mean)
		s.square += n * t2 / t0
	}
	s.slope *= -math.Ln10
	return s
}

func ipow(x float64, n int) float64 {
	if n < 0 {
		x, n = 1/x, -n
	}
	p := 1.0
	for range n {
		p *= x
	}
	return p
}

// Balance is the net charge of a composition held at a pH: zero at its own
// pH, positive when the composition would be more alkaline than that.
type Balance struct {
	Charge   float64 // mol
	Slope    float64 // d Charge / d pH at constant ionic strength, mol; never positive
	Strength float64 // ionic strength, mol/kg
}

// ChargeAt is the charge balance of c held at the given pH. The ionic
// strength is made consistent by fixed-point iteration from near (mol/kg).
func (m *Model) ChargeAt(ph, near float64, c *Composition) Balance {
	h := math.Exp(-math.Ln10 * ph)
	strength := near
	var s sums
	for range 8 {
		s = m.at(h, m.gamma(strength), c)
		next := s.square / c.Water / 2
		done := math.Abs(next-strength) <= 1e-6*next
		strength = next
		if done {
			break
		}
	}
	return Balance{Charge: s.charge, Slope: s.slope, Strength: strength}
}

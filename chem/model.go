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
	air   air     // carbon dioxide held by the air, if any
	pco2  float64 // atm; 0 is closed
	row   [MaxSystems]modelRow
}

// modelRow is one system: its steps, the charge of its most protonated form
// and its thermodynamic constants in the order of loss.
type modelRow struct {
	steps int
	z0    int
	k     [maxSteps]float64
	gas   bool // held by the air: the total does not count
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
		if len(s.Steps) > maxSteps {
			return nil, fmt.Errorf("chem: %s: more than %d steps", s.Name, maxSteps)
		}
		m.row[i] = modelRow{steps: len(s.Steps), z0: s.Charge}
		for j, st := range s.Steps {
			m.row[i].k[j] = math.Pow(10, -st.PKAt(t))
		}
	}
	for _, o := range opts {
		o(m)
	}
	if !(m.pco2 >= 0 && m.pco2 <= 1) {
		return nil, fmt.Errorf("chem: %w, got %g", ErrPressure, m.pco2)
	}
	m.open()
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

package chem

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/chem/pitzer"
	"example.org/halfdrop/chem/thermo"
)

// MaxSystems is how many acid–base systems one Model holds.
const MaxSystems = 12

// MaxIons is how many strong ions are known by name.
const MaxIons = pitzer.MaxIons

// maxSteps is how many protons one system can lose.
const maxSteps = 6

// Composition is a Solution reduced to what the charge balance needs, in the
// order of a Model's systems. It is linear: mixtures are sums.
type Composition struct {
	Water    float64             // kg
	Totals   [MaxSystems]float64 // mol of each system
	Ions     [MaxIons]float64    // mol of the strong ions that are known by name
	Charge   float64             // mol of net charge of all strong ions, Σ zn; more than Ions have counts as Na⁺ or Cl⁻
	Strength float64             // Σ z²n of all strong ions, mol
	Room     float64             // L taken up by what carries no charge at any pH; it changes the solvent
}

// Stronger is the composition with k times what is dissolved, in the same water.
func (c Composition) Stronger(k float64) Composition {
	water := Composition{Water: c.Water}
	c.Water = 0
	return water.Plus(k, c)
}

// Plus is the composition with k times d added.
func (c Composition) Plus(k float64, d Composition) Composition {
	c.Water += k * d.Water
	for i := range c.Totals {
		c.Totals[i] += k * d.Totals[i]
	}
	for i := range c.Ions {
		c.Ions[i] += k * d.Ions[i]
	}
	c.Charge += k * d.Charge
	c.Strength += k * d.Strength
	c.Room += k * d.Room
	return c
}

// firstStrength is about the ionic strength, mol/kg: that of the strong ions and of what
// balances their charge, at one charge each.
func (c *Composition) firstStrength() float64 {
	return 0.5 * (c.Strength + math.Abs(c.Charge)) / c.Water
}

// Model is a set of acid–base systems at one temperature, ready to compute.
// It is not changed by use and may be shared between goroutines.
type Model struct {
	temp Celsius
	law  Law
	sys  []*System
	kw   float64 // ion product of water, molal, I = 0
	a    float64 // Debye–Hückel A, kg^½ mol^−½
	act  *pitzer.Set
	air  air     // carbon dioxide held by the air, if any
	pco2 float64 // atm; 0 is closed
	row  [MaxSystems]modelRow

	cx       []complexRow
	partners []uint8 // systems that take part in complexes
	simple   []uint8 // systems that do not
	metals   uint16  // those of partners that are metal ions, as bits

	salts []saltRow // sodium chloride of rising strength, to start from
}

// Law is where activity coefficients come from.
type Law uint8

// The laws: Pitzer's equations, or one of the options Davies and Ideal.
const (
	PitzerLaw Law = iota
	DaviesLaw
	NoLaw
)

// Law is where the activity coefficients of the model come from.
func (m *Model) Law() Law { return m.law }

// StrongLimit is the ionic strength, mol/kg, up to which the parameters were
// fitted or checked: beyond it a pH is shown with its doubt, and nothing is
// advised.
const StrongLimit = 3.0

// modelRow is one system: its steps, the charge of its most protonated form,
// its thermodynamic constants in the order of loss, and the ions that its
// forms are.
type modelRow struct {
	steps int
	z0    int
	k     [maxSteps]float64
	ion   [maxSteps + 1]int8 // in the activity model; −1 is a coefficient of 1
	water [maxSteps]bool     // the step takes up water
	gas   bool               // held by the air: the total does not count
}

// Option changes how a Model computes.
type Option func(*Model)

// Ideal switches activity coefficients off, to compare with textbooks.
func Ideal(m *Model) { m.law = NoLaw }

// Davies takes the activity coefficients of all ions from their charge alone,
// by Davies' equation: a cross-check below an ionic strength of 0.3 mol/kg.
func Davies(m *Model) { m.law = DaviesLaw }

// NewModel prepares the systems at temperature t.
// It refuses more than MaxSystems systems and temperatures outside 0–60 °C.
func NewModel(t Celsius, systems []*System, opts ...Option) (*Model, error) {
	if !(t >= 0 && t <= 60) {
		return nil, fmt.Errorf("chem: %w: %g °C", ErrTemperature, float64(t))
	}
	systems = reacting(systems)
	if len(systems) > MaxSystems {
		return nil, fmt.Errorf("chem: %w", ErrTooMany)
	}
	m := &Model{temp: t, sys: systems, kw: math.Pow(10, -thermo.WaterPK(t.Kelvin())), a: thermo.DebyeHuckelA(t.Kelvin())}
	for _, o := range opts {
		o(m)
	}
	if !(m.pco2 >= 0 && m.pco2 <= 1) {
		return nil, fmt.Errorf("chem: %w, got %g", ErrPressure, m.pco2)
	}
	tab := pitzer.Ions()
	named := []int{}
	var rows [MaxSystems][maxSteps + 1]int
	for i, s := range systems {
		if len(s.Steps) > maxSteps {
			return nil, fmt.Errorf("chem: %s: more than %d steps", s.Name, maxSteps)
		}
		m.row[i] = modelRow{steps: len(s.Steps), z0: s.Charge}
		for j, st := range s.Steps {
			m.row[i].k[j] = math.Pow(10, -st.PKAt(t))
			m.row[i].water[j] = st.Water
		}
		for j := range len(s.Steps) + 1 {
			row, err := s.ionOf(j, tab)
			if err != nil {
				return nil, err
			}
			rows[i][j] = row
			if row >= 0 {
				named = append(named, row)
			}
		}
	}
	if m.pco2 > 0 {
		named = append(named, tab.ByName["HCO3"], tab.ByName["CO3"])
	}
	ofComplexes, err := m.complexes(tab)
	if err != nil {
		return nil, err
	}
	named = append(named, ofComplexes...)
	if len(slices.Compact(slices.Sorted(slices.Values(named)))) > pitzer.MaxLocal-2-MaxIons {
		return nil, fmt.Errorf("chem: %w", ErrTooMany)
	}
	m.act = pitzer.New(pitzer.Water{Kelvin: t.Kelvin(), Slope: m.a}, named)
	for i, s := range systems {
		for j := range len(s.Steps) + 1 {
			m.row[i].ion[j] = -1
			if rows[i][j] >= 0 {
				m.row[i].ion[j] = int8(m.act.Local(rows[i][j]))
			}
		}
	}
	for k := range m.cx {
		x := &m.cx[k]
		if x.ion >= 0 {
			x.ion = int8(m.act.Local(ofComplexes[x.ion]))
		}
		if x.metal >= 0 {
			m.metals |= 1 << x.metal
		}
	}
	for i := range m.sys {
		if !slices.Contains(m.partners, uint8(i)) {
			m.simple = append(m.simple, uint8(i))
		}
	}
	m.open()
	m.inSalt()
	return m, nil
}

// reacting are the systems without those that have no step and bind none of
// the others: they take room alone.
func reacting(list []*System) []*System {
	if !slices.ContainsFunc(list, func(s *System) bool { return len(s.Steps) == 0 }) {
		return list
	}
	return slices.DeleteFunc(slices.Clone(list), func(s *System) bool {
		return len(s.Steps) == 0 && !slices.ContainsFunc(list, func(l *System) bool {
			return slices.ContainsFunc(l.Complexes, func(x Complex) bool { return x.Metal == s.Name })
		})
	})
}

// Systems are the acid–base systems in the order of Composition.Totals.
func (m *Model) Systems() []*System { return m.sys }

// Temp is the temperature of the model.
func (m *Model) Temp() Celsius { return m.temp }

// Compose reduces a solution to this model's composition. Systems that the
// model does not hold are an error, but for those that take room alone. The solution's temperature only sets the
// density of its water.
func (m *Model) Compose(s Solution) (Composition, error) {
	c := Composition{Water: s.WaterMass().Kilograms(), Room: s.Room.Litres()}
	for _, t := range s.Systems {
		if len(t.System.Steps) == 0 {
			c.Room += t.Amount.Moles() * t.System.volume(0) * Millilitre.Litres()
		}
		i := m.Index(t.System.Name)
		if i < 0 && len(t.System.Steps) == 0 {
			continue
		}
		if i < 0 {
			return Composition{}, fmt.Errorf("chem: %s is not in the model", t.System.Name)
		}
		c.Totals[i] += t.Amount.Moles()
	}
	for _, t := range s.Ions {
		z, n := float64(t.Ion.Charge), t.Amount.Moles()
		c.Charge += z * n
		c.Strength += z * z * n
		if slot, ok := slotOf(t.Ion); ok {
			c.Ions[slot] += n
		}
	}
	return c, nil
}

// Index is the place of a system by its name, −1 where it is not held.
func (m *Model) Index(name string) int {
	return slices.IndexFunc(m.sys, func(s *System) bool { return s.Name == name })
}

// slotOf is the place in Composition.Ions of a strong ion of one charge: its
// own, or that of any other cation or anion. It is false for ions of more charges.
func slotOf(x Ion) (slot int, ok bool) {
	t := pitzer.Ions()
	if i, known := t.ByName[strings.TrimRight(x.Name, "+-")]; known && t.Rows[i].Slot >= 0 && t.Rows[i].Charge == x.Charge {
		return t.Rows[i].Slot, true
	}
	name := ""
	switch x.Charge {
	case 1:
		name = "cation"
	case -1:
		name = "anion"
	default:
		return 0, false
	}
	return t.Rows[t.ByName[name]].Slot, true
}

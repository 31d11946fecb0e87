package solved

import (
	"fmt"
	"math"

	"example.org/halfdrop/chem"
)

// mostDissolved is the sum of all solutes, mol per kg of water, above which
// nothing is computed (19 M NaOH is 25 mol/kg).
const mostDissolved = 40

// Result is what the model says of a solution at equilibrium.
type Result struct {
	PH       float64
	Strength float64 // ionic strength, mol/kg
	// Capacity is the strong base, in mol per litre of solution, that raises
	// the pH by one, at the present slope: its own ions included.
	Capacity float64
	DPHDT    float64 // the change of pH per °C at a fixed composition in mol/kg
	Dilution float64 // the change of pH on adding as much water again
	Spread   float64 // one standard deviation of PH, composition taken as true
	Flags    []Flag
	Doubts   Doubts // what Spread is made of
	Species  []Species
	Free     []Free // metal ions, free beside total

	at *description
}

// MolarStrength is the ionic strength in mol per litre of the solution, as recipes count it.
func (r *Result) MolarStrength() float64 {
	s := &r.at.solution
	return r.Strength * s.WaterMass().Kilograms() / s.Volume.Litres()
}

// Species is one form of one acid–base system in the solution, or a complex.
type Species struct {
	Name       string // "H2PO4-"
	System     string // of a complex: its ligand
	Complex    *chem.Complex
	Charge     int
	Fraction   float64 // of the system
	Molality   float64 // mol/kg
	Molarity   float64 // mol/L
	LogGamma   float64 // log10 of the activity coefficient, on the scale of pH
	Unverified bool    // the share rests on a pK that no second publication confirms
}

// Describe solves a closed solution, or one open to air with the option
// chem.OpenToAir, at its own temperature. It refuses what Solution.Validate
// refuses, a solution with nothing in it, and one with more in it than water
// holds; it never returns a number for those.
func Describe(s chem.Solution, opts ...chem.Option) (*Result, error) {
	if err := s.Validate(); err != nil {
		return nil, err
	}
	if err := plausible(s); err != nil {
		return nil, err
	}
	d := &description{solution: s, opts: opts}
	var err error
	if d.model, err = chem.NewModel(s.Temp, s.Kinds(), opts...); err != nil {
		return nil, err
	}
	if d.comp, err = d.model.Compose(s); err != nil {
		return nil, err
	}
	if d.eq, err = d.model.SolveIn(&d.comp, math.NaN(), &d.medium); err != nil {
		return nil, err
	}
	r := &Result{PH: d.eq.PH, Strength: d.eq.Strength}
	r.Capacity = d.model.CapacityIn(&d.comp, d.eq, &d.medium) / s.Volume.Litres()
	if r.DPHDT, err = d.perDegree(); err != nil {
		return nil, err
	}
	if r.Dilution, err = d.dilution(); err != nil {
		return nil, err
	}
	d.inside = d.model.Inside(&d.comp, d.eq.PH, &d.medium)
	r.Species, r.Free = d.species()
	r.at = d
	r.Doubts = judge(d.model, &d.comp, d.eq, &d.medium, d.inside)
	r.Spread, r.Flags = r.Doubts.PH, r.Doubts.Flags
	return r, nil
}

// plausible refuses nothing and far too much.
func plausible(s chem.Solution) error {
	sum := 0.0
	for _, t := range s.Systems {
		sum += t.Amount.Moles()
	}
	for _, t := range s.Ions {
		sum += t.Amount.Moles()
	}
	if sum == 0 && s.Room > 0 {
		return fmt.Errorf("chem: %w that is an acid, a base or an ion: its pH is that of water, and nothing buffers it", chem.ErrEmpty)
	}
	if sum == 0 {
		return fmt.Errorf("chem: %w: give at least one reagent with an amount above zero", chem.ErrEmpty)
	}
	if m := sum / s.WaterMass().Kilograms(); m > mostDissolved {
		return fmt.Errorf("chem: %w: %.3g mol of solutes per kg of water, and no more than %d is computed", chem.ErrAbsurd, m, mostDissolved)
	}
	return nil
}

// description is a solved solution with its surroundings.
type description struct {
	solution chem.Solution
	opts     []chem.Option
	model    *chem.Model
	comp     chem.Composition
	eq       chem.Equilibrium
	medium   chem.Medium
	inside   *chem.Inside
}

// perDegree is dpH/dT by a central difference of 0.2 °C, within 0–60 °C.
func (d *description) perDegree() (float64, error) {
	lo, hi := max(d.solution.Temp-0.1, 0), min(d.solution.Temp+0.1, 60)
	var ph [2]float64
	for i, t := range [2]chem.Celsius{lo, hi} {
		m, err := chem.NewModel(t, d.model.Systems(), d.opts...)
		if err != nil {
			return 0, err
		}
		e, err := m.SolveNear(&d.comp, d.eq)
		if err != nil {
			return 0, err
		}
		ph[i] = e.PH
	}
	return (ph[1] - ph[0]) / float64(hi-lo), nil
}

func (d *description) dilution() (float64, error) {
	c := d.comp
	c.Water *= 2
	e, err := d.model.SolveNear(&c, chem.Equilibrium{PH: d.eq.PH, Strength: d.eq.Strength / 2})
	return e.PH - d.eq.PH, err
}

package chem

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem/pitzer"
)

// Errors of Describe beyond those of Solution.Validate.
var (
	ErrAbsurd   = errors.New("too concentrated")
	ErrPressure = errors.New("partial pressure of CO₂ must be from 0 to 1 atm")
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
	Complex    *Complex
	Charge     int
	Fraction   float64 // of the system
	Molality   float64 // mol/kg
	Molarity   float64 // mol/L
	LogGamma   float64 // log10 of the activity coefficient, on the scale of pH
	Unverified bool    // the share rests on a pK that no second publication confirms
}

// Describe solves a closed solution, or one open to air with the option
// OpenToAir, at its own temperature. It refuses what Solution.Validate
// refuses, a solution with nothing in it, and one with more in it than water
// holds; it never returns a number for those.
func Describe(s Solution, opts ...Option) (*Result, error) {
	if err := s.Validate(); err != nil {
		return nil, err
	}
	if err := s.plausible(); err != nil {
		return nil, err
	}
	d := &description{solution: s, opts: opts}
	var err error
	if d.model, err = NewModel(s.Temp, s.Kinds(), opts...); err != nil {
		return nil, err
	}
	if d.comp, err = d.model.Compose(s); err != nil {
		return nil, err
	}
	if d.eq, err = d.model.SolveIn(&d.comp, math.NaN(), &d.medium); err != nil {
		return nil, err
	}
	r := &Result{PH: d.eq.PH, Strength: d.eq.Strength}
	r.Capacity = d.model.capacityIn(&d.comp, d.eq, &d.medium) / s.Volume.Litres()
	if r.DPHDT, err = d.perDegree(); err != nil {
		return nil, err
	}
	if r.Dilution, err = d.dilution(); err != nil {
		return nil, err
	}
	r.Species, r.Free = d.species()
	r.at = d
	r.Doubts = d.model.Doubts(&d.comp, d.eq, &d.medium)
	r.Spread, r.Flags = r.Doubts.PH, r.Doubts.Flags
	return r, nil
}

// plausible refuses nothing and far too much.
func (s Solution) plausible() error {
	sum := 0.0
	for _, t := range s.Systems {
		sum += t.Amount.Moles()
	}
	for _, t := range s.Ions {
		sum += t.Amount.Moles()
	}
	if sum == 0 && s.Room > 0 {
		return fmt.Errorf("chem: %w that is an acid, a base or an ion: its pH is that of water, and nothing buffers it", ErrEmpty)
	}
	if sum == 0 {
		return fmt.Errorf("chem: %w: give at least one reagent with an amount above zero", ErrEmpty)
	}
	if m := sum / s.WaterMass().Kilograms(); m > mostDissolved {
		return fmt.Errorf("chem: %w: %.3g mol of solutes per kg of water, and no more than %d is computed", ErrAbsurd, m, mostDissolved)
	}
	return nil
}

// description is a solved solution with its surroundings.
type description struct {
	solution Solution
	opts     []Option
	model    *Model
	comp     Composition
	eq       Equilibrium
	medium   Medium

	mol       [pitzer.MaxLocal]float64 // molalities of all ions
	complexes binding
}

// Capacity is the strong base, in mol for the whole of c, that raises the pH
// by one at the present slope, the medium following. It is the buffer value β
// of D. D. Van Slyke, J. Biol. Chem. 52, 525 (1922), times the volume, by
// differences over two steps of about 0.001 in pH.
func (m *Model) Capacity(c *Composition, e Equilibrium) float64 {
	var md Medium
	if _, err := m.SolveIn(c, e.PH, &md); err != nil {
		return math.NaN()
	}
	return m.capacityIn(c, e, &md)
}

func (m *Model) capacityIn(c *Composition, e Equilibrium, md *Medium) float64 {
	const step = 1e-3
	n := -step * e.Slope
	at, rise := *md, [2]float64{}
	for i := range rise {
		x := *c
		x.add(m.act, float64(i+1)*n)
		y, err := m.SolveIn(&x, e.PH+float64(i+1)*step, &at)
		if err != nil {
			return math.NaN()
		}
		rise[i] = y.PH - e.PH
	}
	return 2 * n / (4*rise[0] - rise[1])
}

// add puts n mol of sodium hydroxide into a composition.
func (c *Composition) add(a *pitzer.Set, n float64) {
	for slot, k := range a.Strong {
		if k == a.Na {
			c.Ions[slot] += n
		}
	}
	c.Charge += n
	c.Strength += n
}

// perDegree is dpH/dT by a central difference of 0.2 °C, within 0–60 °C.
func (d *description) perDegree() (float64, error) {
	lo, hi := max(d.solution.Temp-0.1, 0), min(d.solution.Temp+0.1, 60)
	var ph [2]float64
	for i, t := range [2]Celsius{lo, hi} {
		m, err := NewModel(t, d.model.sys, d.opts...)
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
	e, err := d.model.SolveNear(&c, Equilibrium{PH: d.eq.PH, Strength: d.eq.Strength / 2})
	return e.PH - d.eq.PH, err
}

// species lists the forms of every system, water first, complexes last; and
// the metal ions.
func (d *description) species() (out []Species, metals []Free) {
	m, md := d.model, &d.medium
	h := math.Pow(10, -d.eq.PH)
	d.complete(h)
	out = []Species{
		{Name: "H+", System: "water", Charge: 1, Molality: h * md.hg, LogGamma: md.lnG[m.act.H] / math.Ln10},
		{Name: "OH-", System: "water", Charge: -1, Molality: md.oh / h, LogGamma: md.lnG[m.act.OH] / math.Ln10},
	}
	for i, s := range m.sys {
		r := &m.row[i]
		if r.gas {
			continue
		}
		total := d.comp.Totals[i] / d.comp.Water
		n := d.free(i)
		shares := m.fractions(i, h, md)
		for j, f := range shares {
			x := Species{Name: s.formName(j), System: s.Name, Charge: s.Charge - j, Molality: n * f, Unverified: s.doubtful(j, shares), LogGamma: r.lnG(j, md) / math.Ln10}
			if x.Fraction = f; total > 0 {
				x.Fraction = f * n / total
			}
			out = append(out, x)
		}
		if m.metals&(1<<i) != 0 && len(s.Steps) > 0 || s.aqua() {
			metals = append(metals, Free{System: s.Name, Total: total, Free: n * shares[0]})
		}
	}
	if m.pco2 > 0 {
		free := m.pco2 * math.Pow(10, -HenryPK(m.temp))
		b, c := md.hco3/h, md.co3/(h*h)
		for j, x := range [3]float64{free, b, c} {
			s := Species{Name: [3]string{"CO2", "HCO3-", "CO3(2-)"}[j], System: "carbonate", Charge: -j, Fraction: x / (free + b + c), Molality: x}
			if j > 0 {
				s.LogGamma = md.lnG[[3]int{0, m.air.hco3, m.air.co3}[j]] / math.Ln10
			}
			out = append(out, s)
		}
	}
	out = append(out, d.bound()...)
	perLitre := d.comp.Water / d.solution.Volume.Litres()
	for i := range out {
		out[i].Molarity = out[i].Molality * perLitre
	}
	if len(metals) == 0 {
		return out, nil
	}
	sd := d.freeSpreads()
	for i := range metals {
		x := &metals[i]
		x.PerLitre, x.Spread = perLitre, sd[m.index(x.System)]
	}
	return out, metals
}

// aqua reports whether a system is a metal ion that gives up protons of its water.
func (s *System) aqua() bool { return s.Charge >= 2 && len(s.Steps) > 0 && s.Steps[0].Water }

// complete computes the coefficients of all ions, and the complexes once more.
func (d *description) complete(h float64) {
	m := d.model
	var f pitzer.Field
	var mol, ln [pitzer.MaxLocal]float64
	m.strongIons(&d.comp, &mol, &f)
	m.molalities(h, &d.medium, &d.comp, &mol)
	m.around(&f, &mol, &ln, true)
	copy(ln[:m.act.Wanted], d.medium.lnG[:]) // those that the pH rests on
	d.medium.lnG, d.mol = ln, mol
	if len(m.cx) > 0 {
		d.complexes.prepare(m, h, &d.medium, &d.comp)
		d.complexes.solve(m, &d.medium.free)
	}
}

// free is the molality of all free forms of a system together.
func (d *description) free(i int) float64 {
	if d.comp.Totals[i] != 0 && slices.Contains(d.model.partners, uint8(i)) {
		return math.Exp(d.complexes.y[i])
	}
	return d.comp.Totals[i] / d.comp.Water
}

// bound are the complexes of which there is some.
func (d *description) bound() (out []Species) {
	m := d.model
	for k := range m.cx {
		x := &m.cx[k]
		c := d.complexes.c[k]
		if c == 0 {
			continue
		}
		s := Species{Name: x.name, System: m.sys[x.ligand].Name, Complex: x.of, Charge: int(x.z), Molality: c}
		if t := d.comp.Totals[x.ligand]; t > 0 {
			s.Fraction = x.nL * c * d.comp.Water / t
		}
		if x.ion >= 0 {
			s.LogGamma = d.medium.lnG[x.ion] / math.Ln10
		}
		out = append(out, s)
	}
	return out
}

// formName is the name of the form that has lost j protons.
func (s *System) formName(j int) string {
	if j < len(s.Forms) {
		return s.Forms[j].Name
	}
	return fmt.Sprintf("%s %+d", s.Name, s.Charge-j)
}

// doubtful reports whether the share of the form that has lost j protons
// rests on an unverified pK: f are the shares of all forms.
func (s *System) doubtful(j int, f []float64) bool {
	left := 0.0
	for k, st := range s.Steps {
		left += f[k]
		// d ln f / d ln K is the share on the other side of the step.
		other := left
		if j <= k {
			other = 1 - left
		}
		if st.Unverified && other > 0.02 {
			return true
		}
	}
	return false
}

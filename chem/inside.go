package chem

import (
	"math"
	"slices"

	"example.org/halfdrop/chem/pitzer"
	"example.org/halfdrop/chem/thermo"
)

// Present is how much there is of one kind of particle.
type Present struct {
	Molality float64 // mol/kg
	LnG      float64 // ln of its activity coefficient, on the scale of pH
}

// PresentIon is an ion or a class of ions as the activity model has it.
type PresentIon struct {
	Row      int // in pitzer.Ions
	Charge   float64
	Molality float64 // mol/kg
}

// Forms are those of one system, the most protonated first.
type Forms struct {
	Free  float64   // mol/kg of all of them together; what complexes hold is not among them
	Share []float64 // of that
	LnG   []float64
	Ion   []int // places in Inside.Ions; −1 is a coefficient of 1
	Metal bool  // a complex of the model has it for its metal ion
	Air   bool  // held by the air: its total does not count
}

// Bound is a complex of which there is some.
type Bound struct {
	Complex *Complex
	At      int // its place for Response.Complex
	Ligand  int // place of its system
	Name    string
	Charge  int
	Ion     int // place in Inside.Ions; −1 is a coefficient of 1
	Present
}

// Inside is what is in a solved composition, form by form.
type Inside struct {
	H, OH   Present
	Air     [3]Present // CO₂, HCO₃⁻ and CO₃²⁻ that the air keeps up
	LnWater float64    // ln of the activity of water
	Systems []Forms    // in the order of Model.Systems
	Bound   []Bound
	Ions    []PresentIon

	strong [MaxIons]float64 // ln γ of the strong ions
}

// StrongLnG is ln γ of a strong ion; false for those of more than one charge.
func (in *Inside) StrongLnG(x Ion) (lnG float64, ok bool) {
	slot, ok := slotOf(x)
	if !ok {
		return 0, false
	}
	return in.strong[slot], true
}

// Inside looks into a composition at its pH, in the medium that belongs to it.
func (m *Model) Inside(c *Composition, ph float64, md *Medium) *Inside {
	h := math.Pow(10, -ph)
	full := *md
	mol, b := m.complete(h, &full, c)
	in := &Inside{H: Present{h * md.hg, md.lnG[m.act.H]}, OH: Present{md.oh / h, md.lnG[m.act.OH]}, LnWater: md.lnWater}
	for k := range m.act.N {
		in.Ions = append(in.Ions, PresentIon{m.act.Row[k], m.act.Z[k], mol[k]})
	}
	for slot, k := range m.act.Strong {
		in.strong[slot] = full.lnG[k]
	}
	for i := range m.sys {
		r := &m.row[i]
		f := Forms{Free: c.Totals[i] / c.Water, Share: m.fractions(i, h, md), Metal: m.metals&(1<<i) != 0, Air: r.gas}
		if c.Totals[i] != 0 && slices.Contains(m.partners, uint8(i)) {
			f.Free = math.Exp(b.y[i])
		}
		for j := range r.steps + 1 {
			f.LnG, f.Ion = append(f.LnG, r.lnG(j, &full)), append(f.Ion, int(r.ion[j]))
		}
		in.Systems = append(in.Systems, f)
	}
	for k := range m.cx {
		if x := &m.cx[k]; b.c[k] != 0 {
			p := Present{Molality: b.c[k]}
			if x.ion >= 0 {
				p.LnG = full.lnG[x.ion]
			}
			in.Bound = append(in.Bound, Bound{x.of, k, int(x.ligand), x.name, int(x.z), int(x.ion), p})
		}
	}
	if m.pco2 > 0 {
		in.Air = [3]Present{{m.pco2 * math.Pow(10, -thermo.HenryPK(m.temp.Kelvin())), 0}, {md.hco3 / h, full.lnG[m.air.hco3]}, {md.co3 / (h * h), full.lnG[m.air.co3]}}
	}
	return in
}

// complete computes the molalities and the coefficients of all ions, those of strong ones
// too, and the complexes.
func (m *Model) complete(h float64, md *Medium, c *Composition) (mol [pitzer.MaxLocal]float64, b binding) {
	var f pitzer.Field
	var ln [pitzer.MaxLocal]float64
	m.strongIons(c, &mol, &f)
	m.molalities(h, md, c, &mol)
	m.around(&f, &mol, &ln, true)
	copy(ln[:m.act.Wanted], md.lnG[:]) // those that the pH rests on
	md.lnG = ln
	if len(m.cx) > 0 {
		b.prepare(m, h, md, c)
		b.solve(m, &md.free)
	}
	return mol, b
}

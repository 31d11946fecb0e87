package chem

import (
	"fmt"
	"math"
	"strings"
)

// Solid is a salt that may come out of a solution, by the equation
// solid = Σ parts + Protons H⁺ + Water H₂O.
type Solid struct {
	Name    string // "brushite"
	Formula string
	Parts   []SolidPart
	Protons int     // given off when it dissolves; below zero for taken up
	Water   int     // given off when it dissolves
	LogK    float64 // at 25 °C and zero ionic strength, molal
	DH      float64 // its enthalpy, kJ/mol
	Stands  float64 // powers of ten above saturation at which it is known to stay dissolved for hours
	Slow    bool    // known to stay away for days though it should come out
	Avoid   string  // what avoids it
	Source  string
}

// SolidPart is one kind of ion of a solid.
type SolidPart struct {
	System string // an acid–base system, in the form of a charge
	Charge int
	Ion    string // or a strong ion: "K+"
	Count  int
}

// Saturation is how far a solution is from dropping a solid.
type Saturation struct {
	Solid *Solid
	Index float64 // log10 of the product of activities over the constant
	// Amount would come out, mol per kg of water, if this solid alone did and
	// had time to: zero below saturation.
	Amount float64
	PH     float64 // after that
	Holds  string  // the part of which the least share is left, and
	Left   float64 // its molality then
	Held   string  // what binds a part of it without a constant here, and may keep it dissolved; "" for nothing
}

// Saturation is the state of the solids whose parts are all in the solution,
// in their order. The index holds for all of it dissolved.
func (r *Result) Saturation(list []*Solid) ([]Saturation, error) {
	var out []Saturation
	for _, s := range list {
		index, there, err := r.at.index(s)
		if err != nil {
			return nil, err
		}
		if !there {
			continue
		}
		x := Saturation{Solid: s, Index: index, PH: r.PH}
		if index > 0 {
			if err := r.at.dropped(&x); err != nil {
				return nil, err
			}
		}
		out = append(out, x)
	}
	return out, nil
}

// index is that of a solid, and whether all its parts are there.
func (d *description) index(s *Solid) (index float64, there bool, err error) {
	ln := -float64(s.Protons) * math.Ln10 * d.eq.PH
	ln += float64(s.Water) * d.medium.lnWater
	for _, p := range s.Parts {
		m, g, err := d.part(p)
		if err != nil {
			return 0, false, fmt.Errorf("chem: %s: %w", s.Name, err)
		}
		if m <= 0 {
			return 0, false, nil
		}
		ln += float64(p.Count) * (math.Log(m) + g)
	}
	k := s.LogK*math.Ln10 - s.DH*1000/gasConstant*(1/d.model.temp.Kelvin()-1/refKelvin)
	return (ln - k) / math.Ln10, true, nil
}

// part is the molality of a part of a solid, and its ln γ.
func (d *description) part(p SolidPart) (molality, lnG float64, err error) {
	if p.Ion != "" {
		for _, t := range d.solution.Ions {
			if t.Ion.Name != p.Ion {
				continue
			}
			slot, ok := slotOf(t.Ion)
			if !ok {
				return 0, 0, fmt.Errorf("%s has more than one charge", p.Ion)
			}
			molality = t.Amount.Moles() / d.comp.Water
			lnG = d.medium.lnG[d.model.act.Strong[slot]]
		}
		return molality, lnG, nil
	}
	i := d.model.index(p.System)
	if i < 0 || d.comp.Totals[i] <= 0 && !d.model.row[i].gas {
		return 0, 0, nil
	}
	s := d.model.sys[i]
	j := s.Charge - p.Charge
	if j < 0 || j > len(s.Steps) {
		return 0, 0, fmt.Errorf("%s has no form of charge %d", s.Name, p.Charge)
	}
	h := math.Pow(10, -d.eq.PH)
	if d.model.row[i].gas {
		return d.heldByAir(j, h)
	}
	return d.free(i) * d.model.fractions(i, h, &d.medium)[j], d.model.row[i].lnG(j, &d.medium), nil
}

// heldByAir is a form of carbonic acid in a solution open to the air.
func (d *description) heldByAir(j int, h float64) (molality, lnG float64, err error) {
	switch j {
	case 0:
		return d.model.pco2 * math.Pow(10, -HenryPK(d.model.temp)), 0, nil
	case 1:
		return d.medium.hco3 / h, d.medium.lnG[d.model.air.hco3], nil
	}
	return d.medium.co3 / (h * h), d.medium.lnG[d.model.air.co3], nil
}

// dropped finds how much of a solid has to come out until the rest is just
// saturated, by halving: the index falls with it.
func (d *description) dropped(x *Saturation) error {
	most := math.Inf(1) // mol/kg, until a part is used up
	for _, p := range x.Solid.Parts {
		if d.endless(p) {
			continue
		}
		if n := d.total(p) / float64(p.Count); n < most {
			most, x.Holds = n, partName(p)
		}
	}
	rest := *d
	try := func(n float64) (float64, error) {
		if err := rest.without(d, x.Solid, n); err != nil {
			return 0, err
		}
		i, _, err := rest.index(x.Solid)
		return i, err
	}
	lo, hi := 0.0, most
	for hi-lo > 1e-7*most {
		mid := (lo + hi) / 2
		i, err := try(mid)
		if err != nil {
			return err
		}
		if i > 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	if _, err := try(lo); err != nil {
		return err
	}
	x.Amount, x.PH = lo, rest.eq.PH
	for _, p := range x.Solid.Parts {
		if partName(p) == x.Holds {
			x.Left = (most - lo) * float64(p.Count)
		}
	}
	return nil
}

// endless reports whether the air keeps up a part.
func (d *description) endless(p SolidPart) bool {
	i := d.model.index(p.System)
	return i >= 0 && d.model.row[i].gas
}

// total is the molality of what a part is taken from, all forms and complexes.
func (d *description) total(p SolidPart) float64 {
	if p.Ion != "" {
		m, _, _ := d.part(p)
		return m
	}
	if i := d.model.index(p.System); i >= 0 {
		return d.comp.Totals[i] / d.comp.Water
	}
	return 0
}

// without makes d what is left of another after n mol/kg of a solid came out.
func (d *description) without(of *description, s *Solid, n float64) error {
	*d = *of
	d.solution.Ions = append([]IonTotal(nil), of.solution.Ions...)
	n *= d.comp.Water
	for _, p := range s.Parts {
		k := n * float64(p.Count)
		if p.Ion == "" {
			if i := d.model.index(p.System); i >= 0 {
				d.comp.Totals[i] -= k
			}
			continue
		}
		for i := range d.solution.Ions {
			t := &d.solution.Ions[i]
			if t.Ion.Name != p.Ion {
				continue
			}
			t.Amount -= Amount(k)
			slot, _ := slotOf(t.Ion)
			d.comp.Ions[slot] -= k
			z := float64(t.Ion.Charge)
			d.comp.Charge -= z * k
			d.comp.Strength -= z * z * k
		}
	}
	var err error
	if d.eq, err = d.model.SolveIn(&d.comp, d.eq.PH, &d.medium); err != nil {
		return err
	}
	d.complete(math.Pow(10, -d.eq.PH))
	return nil
}

func partName(p SolidPart) string {
	if p.Ion != "" {
		return strings.TrimRight(p.Ion, "+-")
	}
	return p.System
}

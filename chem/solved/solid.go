package solved

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/thermo"
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
	ln += float64(s.Water) * d.inside.LnWater
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
	k := thermo.Law{PK: -s.LogK, DH: s.DH}.Ln(d.model.Temp().Kelvin())
	return (ln - k) / math.Ln10, true, nil
}

// part is the molality of a part of a solid, and its ln γ.
func (d *description) part(p SolidPart) (molality, lnG float64, err error) {
	if p.Ion != "" {
		for _, t := range d.solution.Ions {
			if t.Ion.Name != p.Ion {
				continue
			}
			ln, ok := d.inside.StrongLnG(t.Ion)
			if !ok {
				return 0, 0, fmt.Errorf("%s has more than one charge", p.Ion)
			}
			molality, lnG = t.Amount.Moles()/d.comp.Water, ln
		}
		return molality, lnG, nil
	}
	i := d.model.Index(p.System)
	if i < 0 || d.comp.Totals[i] <= 0 && !d.inside.Systems[i].Air {
		return 0, 0, nil
	}
	s, f := d.model.Systems()[i], &d.inside.Systems[i]
	j := s.Charge - p.Charge
	if j < 0 || j > len(s.Steps) {
		return 0, 0, fmt.Errorf("%s has no form of charge %d", s.Name, p.Charge)
	}
	if f.Air {
		return d.inside.Air[j].Molality, d.inside.Air[j].LnG, nil
	}
	return f.Free * f.Share[j], f.LnG[j], nil
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
	i := d.model.Index(p.System)
	return i >= 0 && d.inside.Systems[i].Air
}

// total is the molality of what a part is taken from, all forms and complexes.
func (d *description) total(p SolidPart) float64 {
	if p.Ion != "" {
		m, _, _ := d.part(p)
		return m
	}
	if i := d.model.Index(p.System); i >= 0 {
		return d.comp.Totals[i] / d.comp.Water
	}
	return 0
}

// without makes d what is left of another after n mol/kg of a solid came out.
func (d *description) without(of *description, s *Solid, n float64) error {
	*d = *of
	d.solution.Ions = slices.Clone(of.solution.Ions)
	n *= d.comp.Water
	var out chem.Solution
	for _, p := range s.Parts {
		k := chem.Amount(n * float64(p.Count))
		if p.Ion == "" {
			if i := d.model.Index(p.System); i >= 0 {
				out.Systems = append(out.Systems, chem.SystemTotal{System: d.model.Systems()[i], Amount: k})
			}
			continue
		}
		for i := range d.solution.Ions {
			t := &d.solution.Ions[i]
			if t.Ion.Name == p.Ion {
				t.Amount -= k
				out.Ions = append(out.Ions, chem.IonTotal{Ion: t.Ion, Amount: k})
			}
		}
	}
	gone, err := d.model.Compose(out)
	if err != nil {
		return err
	}
	d.comp = d.comp.Plus(-1, gone)
	if d.eq, err = d.model.SolveIn(&d.comp, d.eq.PH, &d.medium); err != nil {
		return err
	}
	d.inside = d.model.Inside(&d.comp, d.eq.PH, &d.medium)
	return nil
}

func partName(p SolidPart) string {
	if p.Ion != "" {
		return strings.TrimRight(p.Ion, "+-")
	}
	return p.System
}

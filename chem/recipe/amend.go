package recipe

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
)

// Amendment is what of a plan turned out to be otherwise at the plate. What is not
// set is as it was.
type Amendment struct {
	Weighed []Weighed // what is in the beaker
	Titrant *Titrant  // a bottle, known by its name
	FinalML float64   // the mark; 0 leaves it
}

// ErrNoAmendment is the error of a mistake that is none of the plan.
var ErrNoAmendment = errors.New("it is not the plan that would have to be amended")

// Amendment is what a gross mistake says of the plan, once somebody has found that it
// was made. Code and name are those of the coach's account of it.
func (s *Setup) Amendment(code, name string) (Amendment, error) {
	if code == coach.Another { // which, nobody knows
		return Amendment{Weighed: []Weighed{}}, nil
	}
	for _, a := range s.alternatives() {
		if a.code == code && a.weighed != nil && (a.name == name || name == "") {
			return Amendment{Weighed: a.weighed}, nil
		}
	}
	for j, st := range s.Stocks {
		t := s.Plan.Titrants[j]
		t.Name = st.Name
		if code == kindCode(st.Name) {
			t.Reagent = "HCl"
			if st.Reagent.Spectators() < 0 {
				t.Reagent = "NaOH"
			}
			return Amendment{Titrant: &t}, nil
		}
		for _, f := range strengths {
			if code == strengthCode(st.Name, f.factor) {
				molar := float64(st.Molar) * f.factor
				t.Molar = &molar
				return Amendment{Titrant: &t}, nil
			}
		}
	}
	return Amendment{}, fmt.Errorf("%s: %w", code, ErrNoAmendment)
}

// Amended is a plan as it is once it was amended.
func (p Plan) Amended(list ...Amendment) Plan {
	p.Titrants = slices.Clone(p.Titrants)
	for _, a := range list {
		if a.Weighed != nil {
			p.Weighed = a.Weighed
		}
		if a.FinalML > 0 {
			p.Beaker.FinalML = &a.FinalML
		}
		for i := range p.Titrants {
			if a.Titrant != nil && p.Titrants[i].label() == a.Titrant.Name {
				p.Titrants[i] = *a.Titrant
			}
		}
	}
	return p
}

// label is what a bottle is called.
func (t *Titrant) label() string {
	if t.Name == "" && t.Molar != nil {
		return fmt.Sprintf("%s %g M", t.Reagent, *t.Molar)
	}
	return t.Name
}

// CompileAmended makes an amended plan computable. Whether it can be carried out with
// what is at hand is not asked any more: the beaker stands at the plate.
func CompileAmended(p Plan) (*Setup, error) { return compile(p, false) }

// weighedWith is what was weighed with one portion replaced; sd is how sure its amount
// is, as a standard deviation of its logarithm, 0 for ordinary care.
func (s *Setup) weighedWith(i int, reagent string, n chem.Amount, sd float64) []Weighed {
	w := slices.Clone(s.Plan.Weighed)
	w[i] = Weighed{Reagent: reagent, MMol: millimoles(n)}
	if sd > 0 {
		pct := 100 * sd
		w[i].SDPct = &pct
	}
	return w
}

// weighedTimes is so many times what was weighed; what goes in late is not weighed yet.
func (s *Setup) weighedTimes(k float64) []Weighed {
	w := slices.Clone(s.Plan.Weighed)
	for i := range w {
		for _, x := range []**float64{&w[i].MMol, &w[i].Grams} {
			if *x != nil && !w[i].Late {
				v := **x * k
				*x = &v
			}
		}
	}
	return w
}

func millimoles(n chem.Amount) *float64 {
	mmol := math.Round(float64(n/chem.Millimole)*1e6) / 1e6
	return &mmol
}

// amountSD is how sure the amounts weighed are, as a standard deviation of their
// logarithm: the least sure of them; 0 for ordinary care.
func (s *Setup) amountSD() (sd float64) {
	for _, w := range s.Plan.Weighed {
		sd = math.Max(sd, or(w.SDPct, 0)/100)
	}
	return sd
}

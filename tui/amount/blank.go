package amount

import (
	"errors"
	"fmt"
	"math"

	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/remedy"
	"example.org/halfdrop/tui/past"
)

// BlankOf is the plan of a blank: what is looked for, or what a strength rests on, is
// left out of the beaker.
func BlankOf(p recipe.Plan) (recipe.Plan, error) {
	s, err := recipe.Compile(p)
	if err != nil {
		return p, err
	}
	if s.What == find.Blank {
		return p, errors.New("it is already the plan of a blank")
	}
	f := p.Find
	var rest []recipe.Weighed
	for i, w := range p.Weighed {
		if i != s.Sought() && !f.Boiled { // what is boiled out belongs to its acid
			rest = append(rest, w)
		}
	}
	p.Name, p.Weighed = "blank: "+p.Name, rest
	p.Find = &recipe.Find{What: "blank", WeighMG: f.WeighMG, PuritySD: f.PuritySD, ReadML: f.ReadML, MeterSD: f.MeterSD, SlopePct: f.SlopePct, BendSD: f.BendSD,
		Carbonate: f.Carbonate, CarbonSD: f.CarbonSD}
	return p, nil
}

// sameStrength is the share by which the label of the titrant of a blank may differ.
const sameStrength = 0.02

// Subtracting is a plan with the blank that a run has found.
func Subtracting(p recipe.Plan, path string) (recipe.Plan, error) {
	if p.Find == nil {
		return p, remedy.Call(errors.New("--blank belongs to a plan that determines an amount"), "see halfdrop find")
	}
	if p.Find.What == "blank" {
		return p, remedy.Call(errors.New("the plan is that of a blank itself"), "--blank belongs to the determination that it is subtracted from")
	}
	if p.Find.BlankML != nil {
		return p, remedy.Call(errors.New("the plan has a blank of its own (blank_ml)"), "leave out one of the two")
	}
	r, err := past.Open(path)
	if err != nil {
		return p, err
	}
	end := r.End()
	f := end.Finding(end.T)
	if f == nil || f.What != find.Blank {
		return p, remedy.With(fmt.Errorf("%s is not the run of a blank", path), "halfdrop find blank PLAN writes the plan of one")
	}
	s, err := recipe.Compile(p)
	if err != nil {
		return p, err
	}
	a, b := end.Setup.Stocks[0], s.Stocks[0]
	ratio := float64(a.Molar / b.Molar)
	switch {
	case a.Reagent.Name != b.Reagent.Name:
		return p, remedy.With(fmt.Errorf("%s was titrated with %s, and the plan is for %s", path, a.Name, b.Name), "a blank holds for its own titrant")
	case math.Abs(ratio-1) > sameStrength:
		return p, remedy.With(fmt.Errorf("%s was titrated with %s, and the plan is for %s", path, a.Name, b.Name), "a blank in mL holds for a titrant of the same strength")
	}
	blank := *p.Find
	ml, sd := f.Value*1e3*ratio, f.SD*1e3*ratio
	blank.BlankML, blank.BlankSD = &ml, &sd
	p.Find = &blank
	return p, nil
}

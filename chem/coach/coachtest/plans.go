package coachtest

import (
	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
)

// Num is a number that a plan may leave out.
func Num(v float64) *float64 { return &v }

// Demo is a plan of our own: HEPES brought up with base.
func Demo() recipe.Plan {
	return recipe.Plan{
		Target:  recipe.Target{PH: Num(7.40), Tolerance: Num(0.02)},
		Beaker:  recipe.Beaker{StartML: Num(400), FinalML: Num(500), TempC: Num(22)},
		Weighed: []recipe.Weighed{{Reagent: "HEPES", MMol: Num(12.5)}},
		Titrants: []recipe.Titrant{
			{Name: "NaOH 1 M", Reagent: "NaOH", Molar: Num(1), DropUL: Num(50)},
			{Name: "NaOH 0.1 M", Reagent: "NaOH", Molar: Num(0.1), DropUL: Num(50)},
			{Name: "HCl 0.1 M", Reagent: "HCl", Molar: Num(0.1), DropUL: Num(50)},
		},
	}
}

// Bench is the bench of a plan at a temperature.
func Bench(p recipe.Plan, at chem.Celsius) *coach.Bench {
	s, err := recipe.CompileAmended(p)
	if err != nil {
		panic(err)
	}
	b, err := s.Bench(at)
	if err != nil {
		panic(err)
	}
	return b
}

// PlanOf is a plan of one substance, mmol of it in 160 mL, with an acid and a base.
func PlanOf(reagent string, mmol, target float64) *coach.Bench {
	p := recipe.Plan{Target: recipe.Target{PH: Num(target)}, Beaker: recipe.Beaker{StartML: Num(160), FinalML: Num(300)},
		Weighed: []recipe.Weighed{{Reagent: reagent, MMol: Num(mmol)}}, Titrants: []recipe.Titrant{{Reagent: "HCl", Molar: Num(1)}, {Reagent: "NaOH", Molar: Num(1)}}}
	s, err := recipe.CompileAmended(p)
	if err != nil {
		panic(err)
	}
	return Bench(p, s.BenchTemp)
}

// Played titrates the demo plan with drops that bring factor of their labels: the
// settled readings after each addition of the coarse bottle.
func Played(factor float64, drops ...float64) (*coach.Bench, coach.History) {
	b := Bench(Demo(), 22)
	var h coach.History
	c := b.Water.Plus(1, b.Weighed)
	read := func() {
		h.Observations = append(h.Observations, coach.Observation{After: len(h.Additions), PH: PH(b.Model, c), SD: 0.004})
	}
	read()
	for _, n := range drops {
		v := chem.Volume(n) * b.Stocks[0].Drop
		h.Additions = append(h.Additions, coach.Addition{Stock: 0, Volume: v, Drops: n})
		c = c.Plus(v.Litres()*factor, b.Stocks[0].PerLitre)
		read()
	}
	return b, h
}

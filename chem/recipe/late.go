package recipe

import (
	"fmt"
	"math"
	"slices"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
)

// Later is what goes in once the pH is set, without water.
func (s *Setup) Later() chem.Solution { return dissolved(s.Weighed, true) }

// Waiting is what goes in once the pH is set, each with how much: "1 g of sodium azide".
func (s *Setup) Waiting() (out []string) {
	for i, p := range s.Weighed {
		switch w := s.Plan.Weighed[i]; {
		case !p.Late:
		case w.Grams != nil:
			out = append(out, fmt.Sprintf("%s g of %s", chem.Digits(*w.Grams, 4), p.Reagent.Name))
		case p.Reagent.Solid() && p.Reagent.Definite():
			out = append(out, fmt.Sprintf("%s g (%s mmol) of %s", p.Reagent.MolarMass.Of(p.Amount).Weighed(), chem.Digits(p.Amount.Millimoles(), 4), p.Reagent.FullName()))
		default:
			out = append(out, fmt.Sprintf("%s mmol of %s", chem.Digits(p.Amount.Millimoles(), 4), p.Reagent.Name))
		}
	}
	return out
}

// late checks that what waits for the pH has one to wait for.
func (s *Setup) late(p Plan, bad *Problems) {
	first := slices.IndexFunc(p.Weighed, func(w Weighed) bool { return w.Late })
	switch {
	case first < 0:
	case p.Find != nil:
		bad.Add(fmt.Sprintf("weighed[%d].late", first+1), "nothing is added once a pH is set where an amount is determined", "take late out, or the whole part")
	case !slices.ContainsFunc(p.Weighed, func(w Weighed) bool { return !w.Late }):
		bad.Add(fmt.Sprintf("weighed[%d].late", first+1), "all that is weighed goes in once the pH is set, and nothing before", "take late out for what is in the beaker while it is titrated")
	}
}

// rounds are enough for the medium to agree with the volume to the last digit.
const rounds = 8

// before aims the coach, whose beaker does not hold yet what goes in late, at the pH that the
// same would have in use without it: with it, that becomes the target. What is late moves it
// as an acid, a base or a salt does: 50 mM of sodium fluoride takes 50 mM phosphate from 7.45 to 7.40.
func (s *Setup) before(b *coach.Bench) error {
	later := s.Later()
	if len(later.Systems) == 0 && len(later.Ions) == 0 {
		return nil
	}
	add, _, err := dry(b.Use, later)
	if err != nil {
		return err
	}
	all := b.Weighed.Plus(1, add)
	all.Water = b.FinalKg
	var md chem.Medium
	side := b.Use.BalanceIn(s.Target, &md, &all).Charge
	best, most := chem.Composition{}, math.Inf(-1)
	for _, st := range b.Stocks {
		dry := st.PerLitre
		dry.Water = 0
		if f, _ := b.Use.ChargeIn(s.Target, &md, &dry); -f*side > most {
			best, most = dry, -f*side
		}
	}
	v := 0.0
	for range rounds {
		up := all.Plus(v, best)
		bal := b.Use.BalanceIn(s.Target, &md, &up)
		f, _ := b.Use.ChargeIn(s.Target, &md, &best)
		v -= bal.Charge / f
	}
	without := b.Weighed.Plus(v, best)
	without.Water = b.FinalKg
	e, err := b.Use.Solve(&without)
	if err != nil || math.IsNaN(e.PH) { // no bottle leads there, which is said elsewhere
		return nil //nolint:nilerr // of the plan, as a problem
	}
	b.Target = e.PH
	return nil
}

package coach_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
)

// TestADeafElectrodeLeadsNoDose: somebody gave acid before the run, past the aim. That the
// electrode does not follow is likely then, but not enough to ask about; a safe step there
// is, and it tells. It was a dead end: the account of an electrode that says nothing of the
// beaker had no dose to give, and every drop of a weaker bottle "brings it no nearer".
func TestADeafElectrodeLeadsNoDose(t *testing.T) {
	p := demo()
	p.Target = recipe.Target{PH: ptr(6.3), Tolerance: ptr(0.02)}
	p.Beaker = recipe.Beaker{StartML: ptr(175), FinalML: ptr(250), TempC: ptr(24.9)}
	p.Weighed = []recipe.Weighed{{Reagent: "histidine", MMol: ptr(4.1915)}}
	s, err := recipe.Compile(p)
	require.NoError(t, err)
	b, err := s.Bench(24.9)
	require.NoError(t, err)
	r := coach.Request{
		History: coach.History{
			Additions:    []coach.Addition{{Stock: 1, Volume: b.Stocks[1].Drop, Drops: 1}},
			Observations: []coach.Observation{{PH: 6.2278, SD: 0.2213}},
		},
		Now: coach.Present{PH: 6.2469, SD: 0.0018, FinalSD: 0.0018, Shown: 6.2469, Settled: true, Age: 150},
	}
	a := b.Advise(r)
	require.Equal(t, coach.Add, a.Do, "%+v", a)
	assert.Greater(t, a.After, 6.2469)
	assert.Less(t, a.After, a.Aim)
	assert.Less(t, a.Chance, 0.03)
	assert.InEpsilon(t, 0.011, a.OneDrop*5, 0.5, "of 0.5 M, as the beaker is planned")
	bel := b.Believe(coach.History{Additions: r.History.Additions, Observations: append(r.History.Observations, coach.Observation{After: 1, PH: 6.2469, SD: 0.0018})})
	assert.Greater(t, bel.Weight("electrode"), bel.Unnamed(), "the case in question")
}

// TestNobodyIsAccusedInTheFirstSeconds: a reading that is still on its way, just after the beaker or
// the electrode was touched, names no mistake; one of some seconds more does (for longer it
// is nobody's hand any more, a choice of this project).
func TestNobodyIsAccusedInTheFirstSeconds(t *testing.T) {
	p := demo()
	p.Target = recipe.Target{PH: ptr(5.12), Tolerance: ptr(0.1)}
	p.Beaker = recipe.Beaker{StartML: ptr(350), FinalML: ptr(500), TempC: ptr(22.8)}
	p.Weighed = []recipe.Weighed{{Reagent: "acetic acid", MMol: ptr(7.52)}}
	p.Titrants = []recipe.Titrant{{Name: "NaOH 1 M", Reagent: "NaOH", Molar: ptr(1), DropUL: ptr(50)}, {Name: "HCl 1 M", Reagent: "HCl", Molar: ptr(1), DropUL: ptr(50)}}
	s, err := recipe.Compile(p)
	require.NoError(t, err)
	b, err := s.Bench(22)
	require.NoError(t, err)
	for age, named := range map[float64]bool{3: false, 8: false, 12: true, 18: true} {
		a := b.Advise(coach.Request{Now: coach.Present{PH: 6.7, SD: 0.15, FinalSD: 0.08, Shown: 6.8, Age: age}})
		assert.Equal(t, named, len(a.Mistakes) > 0, "%g s: %+v", age, a)
	}
	a := b.Advise(coach.Request{Now: coach.Present{PH: 6.7, SD: 0.15, FinalSD: 0.08, Shown: 6.8, Age: 3, Settled: true}})
	assert.NotEmpty(t, a.Mistakes, "one at rest says what it says")
}

package belief_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
	"example.org/halfdrop/chem/recipe"
)

// TestADeafElectrodeLeadsNoDose: somebody gave acid before the run, past the aim. That the
// electrode does not follow is likely then, but not enough to ask about; a safe step there
// is, and it tells. It was a dead end: the account of an electrode that says nothing of the
// beaker had no dose to give, and every drop of a weaker bottle "brings it no nearer".
func TestADeafElectrodeLeadsNoDose(t *testing.T) {
	p := coachtest.Demo()
	p.Target = recipe.Target{PH: coachtest.Num(6.3), Tolerance: coachtest.Num(0.02)}
	p.Beaker = recipe.Beaker{StartML: coachtest.Num(175), FinalML: coachtest.Num(250), TempC: coachtest.Num(24.9)}
	p.Weighed = []recipe.Weighed{{Reagent: "histidine", MMol: coachtest.Num(4.1915)}}
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
	assert.Greater(t, bel.Weight("electrode"), bel.Free.Weight, "the case in question")
}

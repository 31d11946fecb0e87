package recipe_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
)

// TestAmendments: what a mistake says of the plan is what the coach's account of that
// mistake computes with, for each mistake of several plans. The account is worked out
// from solutions, the amended plan from its own words.
func TestAmendments(t *testing.T) {
	plans := map[string][]recipe.Weighed{
		"one":      {{Reagent: "Tris", MMol: p(20)}},
		"two":      {{Reagent: "sodium dihydrogen phosphate dihydrate", Grams: p(1.2)}, {Reagent: "disodium hydrogen phosphate", MMol: p(6)}},
		"by mass":  {{Reagent: "MES monohydrate", Grams: p(2)}},
		"hydrates": {{Reagent: "citric acid monohydrate", Grams: p(3)}},
	}
	for name, weighed := range plans {
		t.Run(name, func(t *testing.T) {
			plan := recipe.Plan{Target: recipe.Target{PH: p(7)}, Beaker: recipe.Beaker{StartML: p(160), FinalML: p(200)}, Weighed: weighed,
				Titrants: []recipe.Titrant{
					{Name: "acid", Reagent: "HCl", Molar: p(2)}, {Reagent: "NaOH", Molar: p(1), Bottle: "B1"},
				}}
			s, err := recipe.CompileAmended(plan)
			require.NoError(t, err)
			b, err := s.Bench(s.BenchTemp)
			require.NoError(t, err)
			require.Greater(t, len(b.Mistakes), 12)
			for _, m := range b.Mistakes {
				a, err := s.Amendment(m.Code, m.Name)
				if m.Deaf || m.Code == recipe.Absent { // that is put right, and the plan stays
					require.ErrorIs(t, err, recipe.ErrNoAmendment)
					continue
				}
				require.NoError(t, err, m.Name)
				again, err := recipe.CompileAmended(s.Plan.Amended(a))
				if strings.HasSuffix(m.Code, ":10") && err != nil {
					continue // nobody sells that
				}
				require.NoError(t, err, m.Name)
				agrees(t, again, &m)
			}
		})
	}
}

// agrees compares the bench of an amended plan with an account.
func agrees(t *testing.T, s *recipe.Setup, m *coach.Mistake) {
	t.Helper()
	b, err := s.Bench(s.BenchTemp)
	require.NoError(t, err, m.Name)
	const close = 1e-5
	switch {
	case m.Weighed != nil:
		require.InDelta(t, m.Weighed.Charge, b.Weighed.Charge, close*m.Buffer, m.Name)
		require.InEpsilon(t, m.Buffer, b.Buffer, close, m.Name)
		require.InDelta(t, m.AmountSD, b.AmountSD, 1e-9, m.Name)
	default:
		st := b.Stocks[m.Stock-1]
		require.InEpsilon(t, m.PerLitre.Charge, st.PerLitre.Charge, close, m.Name)
		require.Contains(t, m.Name, st.Name, "a bottle keeps its name")
		require.Len(t, b.Stocks, 2)
	}
}

// TestAmendedMark: a larger mark is another concentration, and nothing else.
func TestAmendedMark(t *testing.T) {
	plan := recipe.Plan{Target: recipe.Target{PH: p(7.4)}, Beaker: recipe.Beaker{StartML: p(160), FinalML: p(200)},
		Weighed: []recipe.Weighed{{Reagent: "HEPES", MMol: p(5)}}, Titrants: []recipe.Titrant{{Reagent: "NaOH", Molar: p(1)}}}
	s, err := recipe.CompileAmended(plan.Amended(recipe.Amendment{FinalML: 250}))
	require.NoError(t, err)
	require.InDelta(t, 250, s.Final.Millilitres(), 1e-9)
	require.InDelta(t, 5, 1e3*float64(s.Weighed[0].Amount), 1e-9)
	require.Equal(t, 200.0, *plan.Beaker.FinalML, "the plan itself stays as it is")
}

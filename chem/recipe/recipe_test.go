package recipe_test

import (
	"fmt"
	"testing"

	"example.org/halfdrop/chem/recipe"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func p(v float64) *float64 { return &v }

func hepes() recipe.Plan {
	return recipe.Plan{
		Name:    "HEPES 25 mM for the cold room",
		Target:  recipe.Target{PH: p(7.40), Tolerance: p(0.02), UseTempC: p(4)},
		Beaker:  recipe.Beaker{StartML: p(400), FinalML: p(500), TempC: p(21.5)},
		Weighed: []recipe.Weighed{{Reagent: "HEPES", MMol: p(12.5)}},
		Titrants: []recipe.Titrant{
			{Name: "NaOH 1 M", Reagent: "NaOH", Molar: p(1), DropUL: p(50)},
		},
	}
}

func TestAimOfColdRoomPlan(t *testing.T) {
	s, err := recipe.Compile(hepes())
	require.NoError(t, err)
	b, err := s.Bench(21.5)
	require.NoError(t, err)
	f := b.Forecast()
	// HEPES falls by 0.014 per °C (ΔH 20.4 kJ/mol, Goldberg et al. 2002): a
	// target at 4 °C is aimed at about 0.24 lower at 21.5 °C.
	require.InDelta(t, 7.40-0.24, f.Aim, 0.03)
}

func TestProblemsAreNamed(t *testing.T) {
	q := hepes()
	q.Titrants[0].Reagent = "HCl"
	_, err := recipe.Compile(q)
	require.ErrorContains(t, err, "right way")
	q = hepes()
	q.Titrants[0].Molar = p(0.01)
	_, err = recipe.Compile(q)
	require.ErrorContains(t, err, "under the mark")
	q = hepes()
	q.Weighed[0].Reagent = "HEPS"
	_, err = recipe.Compile(q)
	require.ErrorContains(t, err, "weighed[1].reagent")
}

// A plan of too many bottles is a fault, and so is a stock that is diluted by
// less than nothing.
func TestTooManyTitrants(t *testing.T) {
	plan := hepes()
	for i := range 9 {
		molar := 0.1 * float64(i+1)
		plan.Titrants = append(plan.Titrants, recipe.Titrant{Name: fmt.Sprint("bottle ", i), Reagent: "NaOH", Molar: &molar})
	}
	_, err := recipe.Compile(plan)
	var bad recipe.Problems
	require.ErrorAs(t, err, &bad)
	assert.Contains(t, err.Error(), "at most 8")
	plan = hepes()
	plan.Target.Dilute = p(0.5)
	_, err = recipe.Compile(plan)
	require.ErrorContains(t, err, "dilute")
}

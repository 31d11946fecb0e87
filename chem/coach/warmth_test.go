package coach_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
)

// A reading is carried to another temperature as published standards and buffers go there.
func TestReadAtAnotherTemperature(t *testing.T) {
	x := func(v float64) *float64 { return &v }
	plan := func(list ...recipe.Weighed) recipe.Plan {
		return recipe.Plan{
			Target: recipe.Target{PH: x(7.5)}, Beaker: recipe.Beaker{StartML: x(1000), FinalML: x(1100), TempC: x(25)},
			Weighed: list, Titrants: []recipe.Titrant{{Name: "HCl 1 M", Reagent: "HCl", Molar: x(1)}, {Name: "NaOH 1 M", Reagent: "NaOH", Molar: x(1)}},
		}
	}
	phosphate := plan(recipe.Weighed{Reagent: "potassium dihydrogen phosphate", MMol: x(25)}, recipe.Weighed{Reagent: "disodium hydrogen phosphate", MMol: x(25)})
	tris := plan(recipe.Weighed{Reagent: "Tris", MMol: x(50)})
	for name, c := range map[string]struct {
		plan     recipe.Plan
		from, to float64
		read     float64
		want, by float64
	}{
		// NIST primary standard, phosphate 0.025 molal each: 6.865 at 25 °C, 6.923 at 10, 6.838
		// at 40 (R. G. Bates, Determination of pH, 2nd ed., 1973, table 4.1, from memory).
		"phosphate, cold": {phosphate, 25, 10, 6.865, 6.923, 0.012},
		"phosphate, warm": {phosphate, 25, 40, 6.865, 6.838, 0.012},
		"and back":        {phosphate, 10, 25, 6.923, 6.865, 0.012},
		"the same":        {phosphate, 25, 25, 6.4, 6.4, 1e-6},
		// Tris 0.05 mol/kg: -0.028 a degree (R. G. Bates and V. E. Bower, Anal. Chem. 28, 1322,
		// 1956, from memory).
		"Tris, cold": {tris, 25, 5, 8.07, 8.07 + 20*0.0285, 0.04},
	} {
		t.Run(name, func(t *testing.T) {
			setup, err := recipe.Compile(c.plan)
			require.NoError(t, err)
			from, err := setup.Bench(chem.Celsius(c.from))
			require.NoError(t, err)
			to, err := setup.Bench(chem.Celsius(c.to))
			require.NoError(t, err)
			assert.InDelta(t, c.want, from.ReadAt(to, coach.Observation{PH: c.read}, nil), c.by)
			// An addition that was made meanwhile is in it: the reading is after the first only.
			adds := []coach.Addition{{Stock: 0, Volume: 5 * chem.Millilitre}, {Stock: 0, Volume: 5 * chem.Millilitre}}
			assert.InDelta(t, c.want, from.ReadAt(to, coach.Observation{After: 1, PH: c.read}, adds), c.by+0.005)
			assert.Equal(t, c.read, from.ReadAt(to, coach.Observation{After: 3, PH: c.read}, adds), "an addition that is not on record")
			from.Unweighed = true
			assert.Equal(t, c.read, from.ReadAt(to, coach.Observation{PH: c.read}, nil))
		})
	}
}

package recipe_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/solved"
)

// The doubt of the chemistry that `ph` reports for the beaker as it is to be is what the coach
// begins with: a strong phosphate is a wide prior, and nobody is accused for it.
func TestTheDoubtOfTheChemistryReachesTheCoach(t *testing.T) {
	for mmol, want := range map[float64][2]float64{10: {0.01, 0.03}, 150: {0.1, 0.25}} {
		p := recipe.Plan{Target: recipe.Target{PH: p(7)}, Beaker: recipe.Beaker{StartML: p(160), FinalML: p(200)},
			Weighed: []recipe.Weighed{{Reagent: "sodium dihydrogen phosphate", MMol: p(mmol)}}, Titrants: []recipe.Titrant{{Name: "base", Reagent: "NaOH", Molar: p(5)}}}
		s, err := recipe.CompileAmended(p)
		require.NoError(t, err)
		b, err := s.Bench(s.BenchTemp)
		require.NoError(t, err)
		assert.Greater(t, b.DoubtPH, want[0], "%g mmol", mmol)
		assert.Less(t, b.DoubtPH, want[1], "%g mmol", mmol)

		need := b.Forecast().Need[0]
		titrated := chem.Mix(s.Beaker(s.BenchTemp), chem.Mix(chem.Solution{Volume: chem.Litre, Temp: s.BenchTemp}, s.Stocks[0].Reagent.Dissolved(s.Stocks[0].Molar.In(chem.Litre))).Scale(need))
		r, err := solved.Describe(titrated)
		require.NoError(t, err)
		assert.InEpsilon(t, r.Doubts.PH, b.DoubtPH, 0.1, "%g mmol, as ph says", mmol)
	}
}

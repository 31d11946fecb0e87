package recipe_test

import (
	"math"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/curve"
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

// ph, curve, plan and what is offered to the coach show one figure.
func TestOneDoubtForAll(t *testing.T) {
	for _, tc := range []struct {
		buffer string
		ph     float64
		molar  chem.Molarity
	}{{"HEPES", 7.4, 0.05}, {"phosphate", 7.2, 1}, {"Tris", 8, 1}, {"citrate", 5.8, 0.1}} {
		d := recipe.NewDemand(tc.ph)
		d.Buffer, d.Molar, d.Way, d.Anyway = tc.buffer, tc.molar, recipe.ByTitrant, true
		x := draft(t, d)
		doubts, err := x.Setup.Doubts(25)
		require.NoError(t, err)
		full := x.Setup.Beaker(25)
		for i, v := range x.Forecast.Need {
			if !math.IsNaN(v) {
				full = chem.Mix(full, x.Setup.Stocks[i].PerLitre(25).Scale(v))
				break
			}
		}
		r, err := chem.Describe(full)
		require.NoError(t, err)
		assert.InEpsilon(t, r.Spread, doubts.PH, 0.02, "ph and coach: %s", tc.buffer)
		assert.InEpsilon(t, x.InUse.Spread, doubts.PH, 0.3, "in use it is a little less concentrated: %s", tc.buffer)
		c, err := curve.New(x.Setup.Beaker(25), x.Setup.Stocks[0].PerLitre(25))
		require.NoError(t, err)
		v := x.Forecast.Need[0]
		p, err := c.Band(chem.Volume(v), 3, curve.Care{})
		require.NoError(t, err)
		assert.InEpsilon(t, doubts.PH, p[2].High-p[2].PH, 0.02, "curve: %s", tc.buffer)
		assert.Greater(t, doubts.LnCapacity, 0.0)
	}
}

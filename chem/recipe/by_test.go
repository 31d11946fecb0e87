package recipe_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
)

func TestGivenBy(t *testing.T) {
	f := func(x float64) *float64 { return &x }
	plan := func(ts ...recipe.Titrant) recipe.Plan {
		for i := range ts {
			ts[i].Reagent, ts[i].Molar = "HCl", f(1/float64(i+1))
		}
		return recipe.Plan{Target: recipe.Target{PH: f(8)}, Beaker: recipe.Beaker{StartML: f(160), FinalML: f(200)},
			Weighed: []recipe.Weighed{{Reagent: "Tris", MMol: f(20)}}, Titrants: ts}
	}
	s, err := recipe.Compile(plan(recipe.Titrant{By: "pipette"}, recipe.Titrant{By: "burette", StepML: f(0.02), MLSDPct: f(0.2)}, recipe.Titrant{By: "dropper"}, recipe.Titrant{}))
	require.NoError(t, err)
	assert.True(t, s.Stocks[0].ByML && s.Stocks[1].ByML)
	assert.False(t, s.Stocks[2].ByML || s.Stocks[3].ByML)
	assert.InDelta(t, 0.05, s.Stocks[0].Drop.Millilitres(), 1e-12)
	assert.Equal(t, 0.01, s.Stocks[0].DropSD)
	assert.InDelta(t, 0.02, s.Stocks[1].Drop.Millilitres(), 1e-12)
	assert.InDelta(t, 0.002, s.Stocks[1].DropSD, 1e-12)
	assert.NotEqual(t, s.Stocks[0].Dropper, s.Stocks[2].Dropper, "its 50 µL are no drops")
	assert.NotEqual(t, s.Stocks[0].Dropper, s.Stocks[1].Dropper)
	assert.Equal(t, s.Stocks[2].Dropper, s.Stocks[3].Dropper)
	assert.Equal(t, 50*chem.Microlitre, s.Stocks[3].Drop)
	for says, bad := range map[string]recipe.Titrant{
		`"spoon": must be dropper, pipette or burette`: {By: "spoon"},
		"of a dropper":          {StepML: f(0.1)},
		"of a pipette":          {By: "pipette", DropUL: f(50)},
		"0 is outside 0.001–10": {By: "pipette", StepML: f(0)},
		"99 is outside 0.01–20": {By: "burette", MLSDPct: f(99)},
	} {
		_, err := recipe.Compile(plan(bad))
		assert.ErrorContains(t, err, says)
	}
}

package sim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/sim"
)

// What goes in once the pH is set is in what is made up, as if it had been there from the start,
// and not in the beaker that the electrode sees.
func TestWhatGoesInLateIsMadeUp(t *testing.T) {
	fluoride := func(late bool) *sim.Bench {
		s, err := recipe.Compile(recipe.Plan{
			Target:   recipe.Target{PH: num(7.40)},
			Beaker:   recipe.Beaker{StartML: num(800), FinalML: num(1000), TempC: num(25)},
			Weighed:  []recipe.Weighed{{Reagent: "NaH2PO4", MMol: num(50)}, {Reagent: "NaF", Grams: num(2.0994), Late: late}},
			Titrants: []recipe.Titrant{{Name: "base", Reagent: "NaOH", Molar: num(1)}},
		})
		require.NoError(t, err)
		b, err := sim.New(s, clean())
		require.NoError(t, err)
		require.NoError(t, b.Dispense("base", 0, 40.1*chem.Millilitre))
		return b
	}
	late, early := fluoride(true), fluoride(false)
	assert.InDelta(t, early.MadeUp(), late.MadeUp(), 0.002)
	assert.InDelta(t, 7.40, late.MadeUp(), 0.01)
	assert.Greater(t, late.True(), early.True()+0.02, "a salt takes phosphate down")
	assert.InDelta(t, early.Need("base", 8), late.Need("base", 8), 2e-5, "L, to a pH that is made up")
}

package sim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/sim"
)

// A bottle that is brought leaves the beaker as it is, with EDTA in it too, which binds the
// sodium that was weighed: what is there keeps its place when systems are added.
func TestABottleThatIsBroughtChangesNothing(t *testing.T) {
	p := recipe.Plan{
		Target:   recipe.Target{PH: num(9.5), Tolerance: num(0.05)},
		Beaker:   recipe.Beaker{StartML: num(160), FinalML: num(200), TempC: num(25)},
		Weighed:  []recipe.Weighed{{Reagent: "EDTA disodium salt dihydrate", MMol: num(5)}, {Reagent: "NaCl", MMol: num(20)}},
		Titrants: []recipe.Titrant{{Name: "base", Reagent: "NaOH", Molar: num(1), DropUL: num(50)}},
	}
	setup, err := recipe.Compile(p)
	require.NoError(t, err)
	b, err := sim.New(setup, clean())
	require.NoError(t, err)
	require.NoError(t, b.Dispense("base", 0, 7.5*chem.Millilitre))
	before := b.True()
	p.Titrants = append(p.Titrants, recipe.Titrant{Name: "weak", Reagent: "acetic acid", Molar: num(1), DropUL: num(50)})
	setup, err = recipe.Compile(p)
	require.NoError(t, err)
	require.NoError(t, b.Bring(setup.Stocks[1]))
	assert.InDelta(t, before, b.True(), 1e-6)
}

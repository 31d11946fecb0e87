package recipe_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/recipe"
)

// antacid is half a tablet of chalk in an excess of acid, mmol.
func antacid(acid float64, boiled bool) recipe.Plan {
	num := func(x float64) *float64 { return &x }
	return recipe.Plan{Name: "antacid", Find: &recipe.Find{What: "amount", Of: "calcium carbonate", Boiled: boiled}, Beaker: recipe.Beaker{StartML: num(60), FinalML: num(160)},
		Weighed:  []recipe.Weighed{{Reagent: "calcium carbonate", MMol: num(1.25)}, {Reagent: "HCl", MMol: num(acid)}},
		Titrants: []recipe.Titrant{{Name: "NaOH 0.1 M", Reagent: "NaOH", Molar: num(0.1), By: "burette"}}}
}

// A back-titration: 5.00 mmol of acid, less two for each of 1.25 mmol of carbonate, leave
// 2.50 mmol, 25.0 mL of base; and what is boiled out is not titrated.
func TestCarbonDioxideIsBoiledOut(t *testing.T) {
	s, err := recipe.Compile(antacid(5, true))
	require.NoError(t, err)
	b, err := s.Bench(25)
	require.NoError(t, err)
	best, err := b.Guide.(*find.Bench).Best()
	require.NoError(t, err)
	require.GreaterOrEqual(t, best.Main, 0)
	assert.InDelta(t, 25.0, best.Stations[best.Main].Volume.Millilitres(), 0.05)

	kept, err := recipe.Compile(antacid(5, false))
	require.NoError(t, err)
	b, err = kept.Bench(25)
	require.NoError(t, err)
	with, err := b.Guide.(*find.Bench).Best()
	require.NoError(t, err)
	assert.Greater(t, with.Stations[len(with.Stations)-1].Volume.Millilitres(), 35.0, "carbonic acid takes up base, too")

	_, err = recipe.Compile(antacid(2, true))
	require.ErrorContains(t, err, "boils out only of an acid solution")
}

package brought_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/bench"
	"example.org/halfdrop/meter/run/brought"
	"example.org/halfdrop/meter/run/runtest"
)

// known is what runs have shown of the drops of a bottle.
func known(name string, factor float64) bench.TakenStock {
	return bench.TakenStock{Titrant: name, Factor: factor, MLFactor: factor, SharedSDPct: 1, OwnSDPct: 2, MLSDPct: 1, Runs: 3, Last: runtest.Dawn}
}

func with(t recipe.Titrant) recipe.Plan {
	p := runtest.Tris()
	p.Titrants = append(p.Titrants, t)
	return p
}

// What is wrong is said of the bottle, with what to try, and not of the plan.
func TestABottleThatCannotBe(t *testing.T) {
	setup, err := brought.Compile(with(recipe.Titrant{Name: "B9", Reagent: "KOH", Molar: runtest.Num(0.5)}))
	require.NoError(t, err)
	assert.Len(t, setup.Stocks, 4)
	for says, b := range map[string]recipe.Titrant{
		"unobtainium":                           {Name: "x", Reagent: "unobtainium", Molar: runtest.Num(1)},
		`reagent "NaOHH": did you mean NaOH\?$`: {Name: "x", Reagent: "NaOHH", Molar: runtest.Num(1)},
		"bottle: molar is missing":              {Name: "x", Reagent: "KOH"},
		"used twice":                            {Name: "acid", Reagent: "HCl", Molar: runtest.Num(1)},
	} {
		_, err := brought.Compile(with(b))
		require.ErrorContains(t, err, "bottle: ")
		assert.Regexp(t, says, err.Error())
	}
}

// Of what earlier runs have shown, only that of the bottle goes into its event, and is added
// to what was taken over.
func TestWhatIsKnownOfABottle(t *testing.T) {
	setup, err := brought.Compile(with(recipe.Titrant{Name: "B9", Reagent: "KOH", Molar: runtest.Num(0.5), Bottle: "B9"}))
	require.NoError(t, err)
	e, err := brought.Event(7, recipe.Titrant{Name: "B9"})
	require.NoError(t, err)
	recall := func(*recipe.Setup) bench.Taken {
		return bench.Taken{Stocks: []bench.TakenStock{known("acid", 1.1), known("B9", 0.9)}}
	}
	e, words := brought.WithKnown(e, setup, recall)
	assert.NotEmpty(t, words)
	all, err := brought.And(&bench.Taken{Stocks: []bench.TakenStock{known("base", 1)}}, e.Known)
	require.NoError(t, err)
	require.Len(t, all.Stocks, 2)
	assert.Equal(t, "B9", all.Stocks[1].Titrant)
	none, _ := brought.WithKnown(e, setup, func(*recipe.Setup) bench.Taken { return bench.Taken{} })
	assert.Equal(t, e, none)
	_, err = brought.And(nil, json.RawMessage("[]"))
	assert.ErrorContains(t, err, "what is known of the bottle")
}

package recipe_test

import (
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/chem/solved"
	"example.org/halfdrop/chem/table"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// phosphateWithFluoride is 50 mM of each; the fluoride waits, for the acid would make hydrogen
// fluoride of it.
func phosphateWithFluoride(late bool) recipe.Plan {
	return recipe.Plan{
		Target:   recipe.Target{PH: p(7.40)},
		Beaker:   recipe.Beaker{StartML: p(800), FinalML: p(1000)},
		Weighed:  []recipe.Weighed{{Reagent: "NaH2PO4", MMol: p(50)}, {Reagent: "NaF", Grams: p(2.0994), Late: late}},
		Titrants: []recipe.Titrant{{Name: "NaOH 1 M", Reagent: "NaOH", Molar: p(1)}, {Name: "HCl 1 M", Reagent: "HCl", Molar: p(1)}},
	}
}

// What goes in late is not in the beaker that the meter reads, and has its share in the pH of
// what is made: both are computed once more from the amounts, by another way than the coach's.
func TestWhatGoesInLateIsNotInTheBeaker(t *testing.T) {
	ph := func(ml chem.Volume, naoh float64, fluoride bool) float64 {
		list := map[string]float64{"NaH2PO4": 50, "NaOH": naoh}
		if fluoride {
			list["NaF"] = 50
		}
		var s chem.Solution
		for name, mmol := range list {
			r, err := table.ByAmount(name)
			require.NoError(t, err)
			s = chem.Mix(s, r.Dissolved(chem.Amount(mmol)*chem.Millimole))
		}
		x, err := solved.Describe(s.At(25).MadeUpTo(ml * chem.Millilitre))
		require.NoError(t, err)
		return x.PH
	}
	s, err := recipe.Compile(phosphateWithFluoride(true))
	require.NoError(t, err)
	b, err := s.Bench(25)
	require.NoError(t, err)
	f := b.Forecast()
	naoh := 1e3 * f.Need[0]
	assert.InDelta(t, 7.40, ph(1000, naoh, true), 0.002, "made up, with all that goes in")
	assert.InDelta(t, f.Aim, ph(chem.Volume(800+naoh), naoh, false), 0.003, "on the meter, without it")
	assert.InDelta(t, f.Start, ph(800, 0, false), 0.003)
	assert.InDelta(t, 0.05, b.Target-s.Target, 0.01, "as a salt, it takes phosphate down")

	s, err = recipe.Compile(phosphateWithFluoride(false))
	require.NoError(t, err)
	b, err = s.Bench(25)
	require.NoError(t, err)
	early := b.Forecast()
	assert.InDelta(t, 7.40, b.Target, 1e-12)
	assert.Greater(t, early.Start, f.Start+0.3, "where it is in from the start, it takes up protons")
	assert.InDelta(t, f.Need[0], early.Need[0], 1e-4, "it takes as much base as when it goes in before")
	assert.Equal(t, []string{"2.099 g of sodium fluoride"}, late(t).Waiting())
}

func late(t *testing.T) *recipe.Setup {
	t.Helper()
	s, err := recipe.Compile(phosphateWithFluoride(true))
	require.NoError(t, err)
	return s
}

// No mistake is looked for in what is not there yet.
func TestNoMistakeWithWhatIsNotThereYet(t *testing.T) {
	a, err := late(t).Amendment("amount:2", "")
	require.NoError(t, err)
	assert.InDelta(t, 100, *a.Weighed[0].MMol, 1e-9)
	assert.InDelta(t, 2.0994, *a.Weighed[1].Grams, 1e-9)
	assert.True(t, a.Weighed[1].Late)
}

func TestLateIsRefusedWhereNothingCanWait(t *testing.T) {
	q := phosphateWithFluoride(true)
	q.Weighed = q.Weighed[1:]
	_, err := recipe.Compile(q)
	require.ErrorContains(t, err, "weighed[1].late: all that is weighed goes in once the pH is set")
	q = phosphateWithFluoride(true)
	q.Find = &recipe.Find{What: "amount"}
	_, err = recipe.Compile(q)
	require.ErrorContains(t, err, "weighed[2].late: nothing is added once a pH is set where an amount is determined")
}

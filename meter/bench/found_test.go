package bench_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/bench"
)

// vinegar is a plan that looks for what is in a sample with a base of a bottle.
func vinegar(t *testing.T) *recipe.Setup {
	t.Helper()
	f := func(x float64) *float64 { return &x }
	s, err := recipe.Compile(recipe.Plan{Name: "vinegar", Find: &recipe.Find{What: "amount", SampleML: f(5)}, Beaker: recipe.Beaker{StartML: f(50), FinalML: f(150)},
		Weighed:  []recipe.Weighed{{Reagent: "acetic acid", MMol: f(3)}},
		Titrants: []recipe.Titrant{{Name: "NaOH 0.1 M", Reagent: "NaOH", Molar: f(0.1), By: "burette", Bottle: "K4"}}})
	require.NoError(t, err)
	return s
}

// What was found of a bottle is where the next run begins, less sure with its age.
func TestWhatWasFoundIsTakenOver(t *testing.T) {
	day := time.Date(2026, 11, 2, 9, 0, 0, 0, time.UTC)
	var book bench.Book
	book.State(bench.Found("k4", bench.Strength{Molar: 0.1031, Relative: 0.0018, Carbonate: 0.006, CarbonateSD: 0.002}, day))
	s := vinegar(t)
	last := 0.0
	for _, months := range []int{0, 1, 4} {
		taken := book.Recall(s, "", day.AddDate(0, months, 0))
		require.Len(t, taken.Stocks, 1)
		assert.InDelta(t, 1.031, taken.Stocks[0].MLFactor, 1e-9)
		assert.Greater(t, taken.Stocks[0].MLSDPct, last)
		// One percent in the root of a month, the law of age of package bench.
		assert.InDelta(t, math.Hypot(0.18, math.Sqrt(float64(months))), taken.Stocks[0].MLSDPct, 0.03)
		last = taken.Stocks[0].MLSDPct
		b, err := s.Bench(25)
		require.NoError(t, err)
		taken.Give(b)
		g := b.Guide.(*find.Bench)
		assert.InDelta(t, math.Log(1.031), g.Stocks[0].LnStrength, 1e-9)
		assert.InDelta(t, taken.Stocks[0].MLSDPct/100, g.Stocks[0].StrengthSD, 1e-9)
		// The base takes up carbon dioxide, two thousandths a month, give or take as much.
		assert.InDelta(t, 0.006+0.002*float64(months), g.Stocks[0].Carbonate, 2e-4)
		assert.InDelta(t, math.Hypot(0.002, 0.002*float64(months)), g.Stocks[0].CarbonSD, 2e-4)
		assert.Contains(t, taken.Words()[0], "of carbonate by now")
	}
	taken := book.Recall(s, "", day)
	assert.Contains(t, taken.Words()[0], "NaOH 0.1 M is 1.0310 of its label")

	// Another label is another bottle.
	book.State(bench.Found("K4", bench.Strength{Molar: 0.2, Relative: 0.002}, day))
	taken = book.Recall(s, "", day)
	assert.Empty(t, taken.Stocks)
	assert.Contains(t, taken.Words()[0], "0.2 mol/L")
}

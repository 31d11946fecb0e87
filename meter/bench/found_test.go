package bench_test

import (
	"bytes"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
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

// What was seen of a bottle given by pipette is the product of its strength and of what the
// pipette calls 1 mL. By hand, 1 % of the pipette, 2 % of the label, seen 5 % below with 1.5,
// 2 and 1 % of a session: the product moves by 0.0005/0.001225 of ln 0.95. It is of the
// coach's mL, it is no drop of any dropper, and a run by dropper tells of the same bottle.
func TestABottleGivenInMLIsRemembered(t *testing.T) {
	byPipette := func(p *recipe.Plan) {
		p.Titrants[0].DropUL, p.Titrants[0].By, p.Titrants[0].MolarSDPct = nil, "pipette", ptr(2)
	}
	s := plan(t, byPipette)
	r := bench.Run{At: monday, Plan: "x", SharedSDPct: 1.5}
	r.Learn(s, coach.Lesson{SharedSD: 0.015, Stocks: []coach.Shown{{Stock: 0, LnFactor: math.Log(0.95), OwnSD: 0.02, Poured: true}}})
	require.Equal(t, []bench.Drop{{Bottle: "B7", Reagent: "sodium hydroxide", Molar: 1, DropUL: 1000, ByML: true, Umol: 950, SDPct: 2}}, r.Drops)
	b := bench.Book{Runs: []bench.Run{r}}
	require.NoError(t, b.Valid())
	got := recalled(t, b, s, monday)
	ln, v := math.Log(0.95), 0.0005+0.015*0.015+0.02*0.02+0.01*0.01
	require.InDelta(t, math.Exp(0.0005/v*ln), got["NaOH 1 M"].Factor, 2e-4)
	require.InDelta(t, math.Exp(0.0004/v*ln), got["NaOH 1 M"].MLFactor, 2e-4)
	require.InDelta(t, 100*math.Sqrt(0.0005-0.0005*0.0005/v+0.0001), got["NaOH 1 M"].OwnSDPct, 0.02)
	require.NotContains(t, got, "NaOH 0.1 M", "the blue dropper was not used")
	taken := b.Recall(s, "", monday)
	require.Contains(t, taken.Words()[0], "1 mL of NaOH 1 M brings 0.979")
	at, err := s.Bench(25)
	require.NoError(t, err)
	taken.Give(at)
	require.InDelta(t, 0.0005/v*ln, at.Stocks[0].Learned.LnPoured, 2e-4)
	require.Zero(t, at.Stocks[0].Learned.PouredSD, "its spread is that of the strength")
	var out bytes.Buffer
	require.NoError(t, bench.WriteText(&out, b, monday))
	// Without a plan the label counts for 4 %: 0.0017/0.002425 of ln 0.95.
	require.Contains(t, out.String(), "in mL: bottle B7, sodium hydroxide 1 mol/L by its label, brings 0.9647 mol/L")
	require.NotContains(t, out.String(), "a drop  ")

	b.Put(ran(monday, 40))
	require.Less(t, recalled(t, b, s, monday)["NaOH 1 M"].MLFactor, got["NaOH 1 M"].MLFactor)
}

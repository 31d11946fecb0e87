package bench_test

import (
	"math"
	"testing"
	"time"

	"example.org/halfdrop/chem/find"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/bench"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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

// What was learned of an electrode just now counts for 95 %, and half of that after sixty
// days: the rest is an electrode that nobody knows (choices).
func TestWhatIsKnownOfAnElectrodeFades(t *testing.T) {
	b := bench.Book{Runs: []bench.Run{{At: monday, Electrode: &bench.Electrode{Name: "E7", TauS: 5,
		LatePct: []float64{50, 30, 20}, NoisePH: []float64{0.001, 0.003, 0.01}, NoisePct: []float64{50, 30, 20}, NoiseFirm: []float64{1, 1, 1}}}}}
	for days, fresh := range map[int]float64{0: 5, 60: 52.5, 120: 76.25, 3650: 100} {
		got := b.Recall(plan(t, nil), "E7", monday.AddDate(0, 0, days))
		require.NotNil(t, got.Electrode)
		assert.InDelta(t, fresh, got.Electrode.FreshPct, 0.1, "%d days", days)
	}
}

// A strength that is off its label by more than 10 % is that of another bottle (a choice).
func TestALabelThatIsFarOffIsThatOfAnotherBottle(t *testing.T) {
	for found, used := range map[float64]bool{1.09: true, 0.92: true, 1.12: false, 0.89: false} {
		var b bench.Book
		b.State(bench.Stated{At: monday, Bottle: "B7", Molar: found, SDPct: 0.3})
		_, ok := b.Strength("B7", 1)
		assert.Equal(t, used, ok, "%g mol/L", found)
	}
}

// Of a bottle and a dropper that are not in the plan the label is trusted to 4 % and a drop
// to 10 % (choices). By hand, of a drop that brought 20 % more than both say: v = 0.04² +
// 0.1² + 0.015² + 0.02² + 0.01² = 0.012325, so that 0.1²/v of ln 1.2 = 0.1823 is the drop's.
func TestHowMuchIsTheDrops(t *testing.T) {
	b := bench.Book{Runs: []bench.Run{ran(monday, 60)}}
	k := b.Known(monday)
	require.Len(t, k, 1)
	assert.InDelta(t, 50*math.Exp(0.01/0.012325*0.1823), k[0].ULNow, 0.02)
	assert.InDelta(t, math.Exp(0.0016/0.012325*0.1823), k[0].MolarNow, 0.001)
}

// A drop that brings something else than the drop weighed and the label would give is told
// from three standard deviations on. By hand: √(0.01² + 0.04² + 0.02² + 0.015² + 0.01²) =
// 4.92 %, three of which are 14.8 %.
func TestFromWhenOnADropContradictsItsLabel(t *testing.T) {
	for umol, told := range map[float64]bool{50 * 1.13: false, 50 / 1.13: false, 50 * 1.18: true, 50 / 1.18: true} {
		b := bench.Book{Runs: []bench.Run{ran(monday, umol)}, Weighs: []bench.Weighed{{At: monday, Dropper: "blue", UL: 50, SDPct: 1}}}
		assert.Equal(t, told, len(b.Contradictions()) == 1, "%.1f µmol", umol)
	}
}

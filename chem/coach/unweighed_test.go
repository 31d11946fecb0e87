package coach_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
	"example.org/halfdrop/chem/recipe"
)

// unknown is the demo plan without what was weighed in, and the beaker as it truly
// is: so many times the amount of the plan.
func unknown(t *testing.T, times float64) (b, truth *coach.Bench, c chem.Composition) {
	t.Helper()
	p := coachtest.Demo()
	s, err := recipe.Compile(p)
	require.NoError(t, err)
	truth, err = s.Bench(22)
	require.NoError(t, err)
	p.Weighed = nil
	s, err = recipe.Compile(p)
	require.NoError(t, err)
	require.True(t, s.Unweighed())
	b, err = s.Bench(22)
	require.NoError(t, err)
	return b, truth, truth.Water.Plus(times, truth.Weighed)
}

// TestUnknownBeakerIsLearned: whatever is in it, the first step is a small part of
// the way, none passes the tolerance, and it ends inside.
func TestUnknownBeakerIsLearned(t *testing.T) {
	for _, times := range []float64{0.3, 1, 4, 10} {
		b, truth, c := unknown(t, times)
		b.Final = 2 * b.Start
		var h coach.History
		for n := 0; ; n++ {
			require.Less(t, n, 25, "%g times the plan", times)
			e, err := truth.Model.Solve(&c)
			require.NoError(t, err)
			require.Less(t, e.PH, 7.42+0.005, "%g times the plan, after %d additions", times, n)
			a := b.Advise(coach.Request{History: h, Now: coach.Present{PH: e.PH, Shown: e.PH, SD: 0.003, FinalSD: 0.003, Settled: true, Age: 300}})
			require.Equal(t, 7.4, a.Aim, "nothing is known of a mark")
			if a.Do == coach.Stop {
				require.InDelta(t, 7.4, e.PH, 0.02)
				break
			}
			require.Equal(t, coach.Add, a.Do, "%+v", a)
			require.Greater(t, a.Drops, 0.0)
			if n == 0 { // half of HEPES is titrated at its pK, 7.5: some 5 mmol for the plan
				require.Less(t, a.Drops*b.LabelledCharge(coach.Addition{Stock: a.Stock, Volume: b.Stocks[a.Stock].Drop}), 0.3*times*0.0055)
			}
			h.Observations = append(h.Observations, coach.Observation{After: n, PH: e.PH, SD: 0.003})
			h.Additions = append(h.Additions, coach.Addition{Stock: a.Stock, Volume: a.Volume, Drops: a.Drops})
			c = c.Plus(a.Volume.Litres(), truth.Stocks[a.Stock].PerLitre)
		}
	}
}

// TestUnknownBeakerForetellsNothing, and no mistake is named of what nobody planned.
func TestUnknownBeakerForetellsNothing(t *testing.T) {
	b, _, _ := unknown(t, 1)
	require.Empty(t, b.Mistakes)
	f := b.Forecast()
	require.True(t, math.IsNaN(f.Start))
	require.Equal(t, 7.4, f.Aim)
	require.Empty(t, b.Curve(coach.History{}, 0, 0.01, 11))
}

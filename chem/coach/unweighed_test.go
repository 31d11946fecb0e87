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

// TestUnknownBeakerForetellsNothing, and no mistake is named of what nobody planned: only
// what a bottle holds.
func TestUnknownBeakerForetellsNothing(t *testing.T) {
	b, _, _ := unknown(t, 1)
	require.Len(t, b.Mistakes, len(b.Stocks))
	for i, m := range b.Mistakes {
		require.Equal(t, "kind:"+b.Stocks[i].Name, m.Code)
	}
	f := b.Forecast()
	require.True(t, math.IsNaN(f.Start))
	require.Equal(t, 7.4, f.Aim)
	require.Empty(t, b.Curve(coach.History{}, 0, 0.01, 11))
}

// settledAt is what the coach says of an unknown beaker that stands at a pH.
func settledAt(b *coach.Bench, h coach.History, ph, sd float64, confirmed ...string) coach.Advice {
	return b.Advise(coach.Request{History: h, Now: coach.Present{PH: ph, Shown: ph, SD: sd, FinalSD: sd, Settled: true, Age: 300}, Confirmed: confirmed})
}

// given is a history with the first order of an unknown beaker, which stood at from.
func given(t *testing.T, b *coach.Bench, from, sd float64) (coach.History, coach.Advice) {
	t.Helper()
	a := settledAt(b, coach.History{}, from, sd)
	require.Equal(t, coach.Add, a.Do)
	return coach.History{Observations: []coach.Observation{{PH: from, SD: sd}},
		Additions: []coach.Addition{{Stock: a.Stock, Volume: a.Volume, Drops: a.Drops}}}, a
}

// TestUnknownBeakerGoesTheOtherWay: no beaker is brought down by a base. Who has looked goes on.
func TestUnknownBeakerGoesTheOtherWay(t *testing.T) {
	const sd = 0.002
	b, _, _ := unknown(t, 1)
	h, a := given(t, b, 6.0, sd)
	code := "kind:" + b.Stocks[a.Stock].Name
	for _, down := range []float64{0.026, 0.2, 1.5} { // more than four spreads of both readings, and 0.012
		c := settledAt(b, h, 6.0-down, sd)
		require.Equal(t, coach.Mistaken, c.Reason, "%+v", c)
		require.Equal(t, code, c.Codes()[0])
		require.NotEqual(t, coach.Check, settledAt(b, h, 6.0-down, sd, code).Do)
	}
	require.NotEqual(t, coach.Check, settledAt(b, h, 6.0-0.020, sd).Do, "that is in its spread")
	require.NotEqual(t, coach.Check, settledAt(b, h, 6.1, sd).Do)
}

// TestUnknownBeakerThatDoesNotAnswer: what was put on record and never fell is asked about
// before more is given on the word of it. A strong buffer is none of that.
func TestUnknownBeakerThatDoesNotAnswer(t *testing.T) {
	const sd = 0.002
	b, _, _ := unknown(t, 1)
	h, _ := given(t, b, 6.0, sd)
	asks := func(drops, moved float64, confirmed ...string) coach.Advice {
		h.Additions[0].Drops, h.Additions[0].Stock = drops, 0
		h.Additions[0].Volume = chem.Volume(drops) * b.Stocks[0].Drop
		return settledAt(b, h, 6.0+moved, sd, confirmed...)
	}
	c := asks(40, 0)
	require.Equal(t, []string{"missed:1"}, c.Codes(), "%+v", c)
	require.NotEqual(t, coach.Check, asks(40, 0, "missed:1").Do)
	// 40 drops of 1 M, 2 mmol in 0.4 L. 1 mol/L of a buffer at its pKa takes 0.58 mol/L per
	// pH (Van Slyke): it moves by 0.0087. 0.1 mol/L moves by 0.087.
	require.NotEqual(t, coach.Check, asks(40, 0.087).Do)
	require.Equal(t, []string{"bottle:1:NaOH 0.1 M"}, asks(400, 0.03).Codes(), "something of it is in: a tenth, which is as good as nothing known")
	require.NotEqual(t, coach.Check, asks(40, 0.0174).Do, "half a mol/L")
	require.NotEqual(t, coach.Check, asks(25, 0).Do, "1.25 mmol of a strong buffer are hidden in two spreads of both readings")
	require.NotEqual(t, coach.Check, asks(2, 0).Do, "0.1 mmol is hidden in the spread of both readings")
}

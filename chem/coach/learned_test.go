package coach_test

import (
	"math"
	"testing"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"github.com/stretchr/testify/require"
)

// played titrates the demo plan with drops that bring factor of their labels: the
// settled readings after each addition of the coarse bottle.
func played(t *testing.T, factor float64, drops ...float64) (*coach.Bench, coach.History) {
	t.Helper()
	s, err := recipe.Compile(demo())
	require.NoError(t, err)
	b, err := s.Bench(22)
	require.NoError(t, err)
	var h coach.History
	c := b.Water.Plus(1, b.Weighed)
	read := func() {
		e, err := b.Model.Solve(&c)
		require.NoError(t, err)
		h.Observations = append(h.Observations, coach.Observation{After: len(h.Additions), PH: e.PH, SD: 0.004})
	}
	read()
	for _, n := range drops {
		v := chem.Volume(n) * b.Stocks[0].Drop
		h.Additions = append(h.Additions, coach.Addition{Stock: 0, Volume: v, Drops: n})
		c = c.Plus(v.Litres()*factor, b.Stocks[0].PerLitre)
		read()
	}
	return b, h
}

// TestRunShowsTheProduct: what a drop brings is read off within its own spread,
// whatever the prior of the bench.
func TestRunShowsTheProduct(t *testing.T) {
	for _, factor := range []float64{0.85, 1, 1.2} {
		b, h := played(t, factor, 40, 40, 20)
		for _, prior := range []float64{0.05, 0.10} {
			b.Stocks[0].DropSD = prior
			l, ok := b.Learn(h)
			require.True(t, ok)
			require.Len(t, l.Stocks, 1, "the bottles that were not used show nothing")
			got := l.Stocks[0]
			require.InDelta(t, math.Log(factor), got.LnFactor, 0.02)
			sd := math.Hypot(l.SharedSD, got.OwnSD)
			require.Greater(t, sd, 0.015, "the amount weighed alone is not known better")
			require.Less(t, sd, 0.06)
		}
	}
}

// TestRunShowsWhatWasPoured: a bottle that was given in mL shows its mL, and is no drop whose
// size would be spoken of.
func TestRunShowsWhatWasPoured(t *testing.T) {
	b, h := played(t, 0.95, 40, 40, 20)
	for i := range h.Additions {
		h.Additions[i].Drops = 0
	}
	l, ok := b.Learn(h)
	require.True(t, ok)
	require.Len(t, l.Stocks, 1)
	require.True(t, l.Stocks[0].Poured)
	require.InDelta(t, math.Log(0.95), l.Stocks[0].LnFactor, 0.02)
	require.Empty(t, b.Yields(h))
}

// TestMistakeTeachesNothing: where another account explains the readings, they do
// not tell what a drop was.
func TestMistakeTeachesNothing(t *testing.T) {
	b, h := played(t, 2.1, 20, 20, 8)
	_, ok := b.Learn(h)
	require.False(t, ok)
	b, h = played(t, 1)
	_, ok = b.Learn(h)
	require.False(t, ok, "nothing was added")
}

// first is what is advised on the first reading of the demo plan.
func first(t *testing.T, l *coach.Learned) coach.Advice {
	t.Helper()
	b, h := played(t, 1)
	b.Stocks[0].Learned = l
	o := h.Observations[0]
	return b.Advise(coach.Request{Now: coach.Present{PH: o.PH, Shown: o.PH, SD: 0.004, FinalSD: 0.004, Settled: true, Age: 300}})
}

// TestRememberedBenchIsDosedBolder: and by what the drops bring, not by the label.
func TestRememberedBenchIsDosedBolder(t *testing.T) {
	none := first(t, nil)
	same := first(t, &coach.Learned{SharedSD: 0.02, OwnSD: 0.02, Seen: true})
	stronger := first(t, &coach.Learned{LnFactor: math.Log(1.25), SharedSD: 0.02, OwnSD: 0.02, Seen: true})
	require.Equal(t, coach.Add, none.Do)
	require.Equal(t, coach.Add, same.Do)
	require.Greater(t, same.Drops, 1.15*none.Drops)
	// A first addition is on labels, even so: in 60 remembered runs on the simulated bench
	// a bottle twice as strong was overshot with in 63 % at 0.015, in 13 % at 0.007.
	require.LessOrEqual(t, same.Chance, 0.007)
	require.Greater(t, same.Chance, 0.005)
	// Both stay clear of a bottle that was exchanged for one twice as strong, so that
	// the doses differ by less than the 1.25.
	require.Less(t, stronger.Drops, 0.93*same.Drops)
}

// TestExchangedBottleIsFoundOut: a bottle half as strong again as remembered is
// overcome by one reading: the next dose goes by what was seen, not by what is
// remembered.
func TestExchangedBottleIsFoundOut(t *testing.T) {
	b, h := played(t, 1.5, 20)
	b.Stocks[0].Learned = &coach.Learned{SharedSD: 0.015, OwnSD: 0.01, Seen: true}
	n := len(h.Observations) - 1
	now := h.Observations[n]
	left := b.DropsBetween(coach.History{Additions: h.Additions, Observations: h.Observations[:n]}, 0, now.PH, 7.4)
	h2 := h
	h2.Observations = h.Observations[:n]
	a := b.Advise(coach.Request{History: h2, Now: coach.Present{PH: now.PH, Shown: now.PH, SD: 0.004, FinalSD: 0.004, Settled: true, Age: 300}})
	if a.Do == coach.Add {
		require.Less(t, a.Drops, left*1.02)
		require.Less(t, a.After, a.Aim)
	} else {
		require.Equal(t, coach.Check, a.Do, "or it is asked about: %+v", a)
	}
}

package belief_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
)

// TestRunShowsTheProduct: what a drop brings is read off within its own spread,
// whatever the prior of the bench.
func TestRunShowsTheProduct(t *testing.T) {
	for _, factor := range []float64{0.85, 1, 1.2} {
		b, h := coachtest.Played(factor, 40, 40, 20)
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
	b, h := coachtest.Played(0.95, 40, 40, 20)
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
	b, h := coachtest.Played(2.1, 20, 20, 8)
	_, ok := b.Learn(h)
	require.False(t, ok)
	b, h = coachtest.Played(1)
	_, ok = b.Learn(h)
	require.False(t, ok, "nothing was added")
}

// TestExchangedBottleIsFoundOut: a bottle half as strong again as remembered is
// overcome by one reading: the next dose goes by what was seen, not by what is
// remembered.
func TestExchangedBottleIsFoundOut(t *testing.T) {
	b, h := coachtest.Played(1.5, 20)
	b.Stocks[0].Learned = &coach.Learned{SharedSD: 0.015, OwnSD: 0.01, Seen: true}
	n := len(h.Observations) - 1
	now := h.Observations[n]
	left := b.DropsBetween(coach.History{Additions: h.Additions, Observations: h.Observations[:n]}, 0, chem.PH(now.PH), 7.4)
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

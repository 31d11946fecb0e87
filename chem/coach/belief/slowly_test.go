package belief_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/account"
	"example.org/halfdrop/chem/coach/belief"
	"example.org/halfdrop/chem/coach/coachtest"
	"example.org/halfdrop/chem/coach/dose"
	"example.org/halfdrop/chem/recipe"
)

// What is left out of a belief to be quick about it changes nothing that counts: over random
// histories, belief and advice are those of the long way, by less than what is left of a fit
// where it is said to rest. Where no account fits, the long way does not come to rest either;
// the two are only played there.
func TestQuickBeliefIsTheSlowOne(t *testing.T) {
	s, err := recipe.Compile(coachtest.Demo())
	require.NoError(t, err)
	r := rand.New(rand.NewPCG(11, 14))
	worst, worstFigure, adds := 0.0, 0.0, 0
	for run := range 10 {
		bench, err := s.Bench(22)
		require.NoError(t, err)
		var memory belief.Memory
		if run%4 == 3 {
			bench.Stocks[0].Learned = &coach.Learned{LnFactor: 0.05, SharedSD: 0.02, OwnSD: 0.03, PouredSD: 0.02, Seen: true}
		}
		h, strength := coach.History{}, []float64{1, 1.05, 2, 0.1}[r.IntN(4)]
		curve := bench.Curve(h, -0.002, 0.012, 300)
		charge, shift, wild := 0.0, 0.1*r.NormFloat64(), 0.0
		if run%5 == 4 {
			wild = 0.3 // such a beaker is on no list
		}
		for range 3 + r.IntN(9) {
			k := min(len(curve)-1, int((charge+0.002)/0.014*300))
			ph := curve[k].PH + shift + wild*r.NormFloat64()
			for range 3 { // readings of one composition
				now := h.With(chem.PH(ph+0.01*r.NormFloat64()), 0.004+0.02*r.Float64())
				r.IntN(2) // the histories stay those that the bounds below were set on
				slow, quick := memory.Slowly(&bench.Bench, now), memory.Believe(&bench.Bench, now)
				weights, figures := belief.Apart(&slow, &quick)
				if wild == 0 {
					worst, worstFigure = max(worst, weights), max(worstFigure, figures)
				}
				a, b := given(&slow), given(&quick)
				switch {
				case wild > 0: // neither way comes to rest where nothing fits
				case accuses(&slow) != accuses(&quick):
					require.True(t, slow.Edges(0.01), "%v and %v", a, b)
				default:
					require.Equal(t, a.Stock, b.Stock)
					require.InDelta(t, a.Drops, b.Drops, math.Max(1, 0.02*a.Drops))
					require.InEpsilon(t, 1+a.Chance, 1+b.Chance, 0.002)
					require.InDelta(t, slow.Inside(), quick.Inside(), 0.005)
				}
				again := memory.Believe(&bench.Bench, now)
				require.Equal(t, again.Codes(), quick.Codes(), "as it is remembered")
			}
			stock, drops := r.IntN(3), float64(1+r.IntN(12))
			a := coach.Addition{Stock: stock, Drops: drops, Volume: chem.Volume(drops) * s.Stocks[stock].Drop}
			h.Observations = append(h.Observations[:len(h.Observations):len(h.Observations)], coach.Observation{After: len(h.Additions), PH: ph, SD: 0.004})
			h.Additions = append(h.Additions[:len(h.Additions):len(h.Additions)], a)
			charge += strength * bench.LabelledCharge(a)
			adds++
		}
	}
	t.Logf("%d additions: weights differ by %.1g at the most, figures by %.1g", adds, worst, worstFigure)
	require.Less(t, worst, 0.005)
	require.Less(t, worstFigure, 0.1)
}

// accuses reports whether a belief names a mistake.
func accuses(bel *belief.Belief) bool {
	_, w := bel.Suspects()
	return w >= belief.NamedAt
}

// given is what is safe on a belief, the way from its last reading to the aim; nothing where no
// bottle leads there.
func given(bel *belief.Belief) (o dose.Option) {
	obs := bel.History.Observations
	c := dose.Among(bel, account.Sign(bel.Aim()-obs[len(obs)-1].PH), bel.Bench.Final, nil)
	if !c.None() {
		o, _ = c.Best()
	}
	return o
}

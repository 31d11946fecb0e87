package coach_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
)

// What is left out of a belief to be quick about it changes nothing that counts: over random
// histories, belief and advice are those of the long way, by less than what is left of a fit
// where it is said to rest. Where no account fits, the long way does not come to rest either;
// the two are only played there.
func TestQuickBeliefIsTheSlowOne(t *testing.T) {
	s, err := recipe.Compile(demo())
	require.NoError(t, err)
	r := rand.New(rand.NewPCG(11, 14))
	worst, worstFigure, adds := 0.0, 0.0, 0
	for run := range 10 {
		bench, err := s.Bench(22)
		require.NoError(t, err)
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
				now := coach.Present{PH: ph + 0.01*r.NormFloat64(), SD: 0.004 + 0.02*r.Float64(), FinalSD: 0.004, Settled: r.IntN(2) == 0, Age: 60}
				req := coach.Request{History: h, Now: now}
				slow, quick := bench.BelieveSlowly(req.With(now.SD)), bench.Believe(req.With(now.SD))
				weights, figures := coach.Apart(&slow, &quick)
				if wild == 0 {
					worst, worstFigure = max(worst, weights), max(worstFigure, figures)
				}
				a, b := bench.DecideOn(slow, req), bench.DecideOn(quick, req)
				switch {
				case wild > 0: // neither way comes to rest where nothing fits
				case a.Do != b.Do:
					require.True(t, slow.Edges(0.01), "%v and %v", a, b)
				default:
					require.Equal(t, [2]any{a.Do, a.Stock}, [2]any{b.Do, b.Stock})
					require.InDelta(t, a.Drops, b.Drops, math.Max(1, 0.02*a.Drops))
					require.InEpsilon(t, 1+a.Chance, 1+b.Chance, 0.002)
				}
				require.Equal(t, bench.Believe(req.With(now.SD)).Codes(), quick.Codes(), "as it is remembered")
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

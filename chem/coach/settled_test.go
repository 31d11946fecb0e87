package coach_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/account"
	"example.org/halfdrop/chem/coach/coachtest"
)

// never checks what must hold of every advice.
func never(t *testing.T, v *coachtest.Virtual, a coach.Advice, y float64) {
	t.Helper()
	for _, x := range []float64{a.Aim, a.After, a.Low, a.High, a.Chance, a.OneDrop, a.Salt, a.Weight, a.Drops, float64(a.Volume)} {
		require.False(t, math.IsNaN(x) || math.IsInf(x, 0), "NaN or infinity in %+v", a)
	}
	if a.Do != coach.Add {
		return
	}
	limit := 0.02
	if v.Ends(a) >= 0.3 {
		limit = 0.04 // it may well be the last
	}
	require.LessOrEqual(t, a.Chance, limit, "the chance of passing is within the limit")
	require.Equal(t, a.Drops, math.Floor(a.Drops), "whole drops")
	require.Positive(t, a.Drops)
	q := v.Bench.Stocks[a.Stock].PerLitre.Charge
	require.Positive(t, q*(a.Aim-y), "the titrant moves towards the aim")
	require.LessOrEqual(t, (a.After-a.Aim)*math.Copysign(1, q), 3e-3, "the mean does not pass the aim")
	require.True(t, a.Low <= a.After && a.After <= a.High)
}

// TestSettledBenches: with settled readings handed to it, the coach is in
// tolerance nearly always, passes the aim nearly never, and needs few
// additions. A careful person with single drops needs fifty to two hundred.
func TestSettledBenches(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	const n = 400
	boldest, first, leastEnd := 0.0, 0.0, 1.0 // leastEnd: the least chance of a bold addition to be the last
	in, passed, adds, bold := 0, 0, 0, 0
	for range n {
		v := coachtest.NewVirtual(r)
		over := false
		h, last, y := v.Titrate(func(h coach.History, a coach.Advice, y float64) {
			never(t, v, a, y)
			if a.Do == coach.Add && a.Chance > 0.02 {
				bold++
				boldest, leastEnd = max(boldest, a.Chance), min(leastEnd, v.Ends(a))
			}
			if len(h.Additions) == 0 {
				first = max(first, a.Chance)
			}
			over = over || v.Up*(y-a.Aim) > v.Bench.Tolerance+0.005
		})
		if last.Do == coach.Stop && math.Abs(y-last.Aim) <= v.Bench.Tolerance+0.005 {
			in++
		}
		if over {
			passed++
		}
		adds += len(h.Additions)
	}
	t.Logf("%d benches: %d in tolerance, %d passed the aim, %.2f additions, %d with more than the usual chance, the largest %.4f", n, in, passed, float64(adds)/n, bold, boldest)
	require.GreaterOrEqual(t, in, n*98/100)
	require.LessOrEqual(t, passed, n/100)
	require.LessOrEqual(t, float64(adds)/n, 2.95)
	require.Greater(t, bold, n/20, "the last addition takes its chance")
	require.Greater(t, boldest, 0.029)
	require.Less(t, leastEnd, 0.34, "from a chance of 0.3 on that it is the last")
	require.InDelta(t, 0.0008, first, 0.00005, "the first addition rests on labels")
}

// TestOrderOfEqualEvidence: two bottles of the same in another order give the
// same advice.
func TestOrderOfEqualEvidence(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 50 {
		v := coachtest.NewVirtual(r)
		now := coach.Present{PH: v.Reading(), SD: 0.005, FinalSD: 0.005, Settled: true}
		a := v.Bench.Advise(coach.Request{Now: now})
		of := &v.Bench
		w := coach.Bench{Bench: account.Bench{
			Model: of.Model, Use: of.Use, Weighed: of.Weighed, Water: of.Water, Buffer: of.Buffer, Start: of.Start, Final: of.Final, FinalKg: of.FinalKg,
			Target: of.Target, Tolerance: of.Tolerance, Stocks: []coach.Stock{of.Stocks[2], of.Stocks[1], of.Stocks[0]},
		}}
		b := w.Advise(coach.Request{Now: now})
		require.Equal(t, a.Do, b.Do)
		require.Equal(t, a.Drops, b.Drops)
		require.Equal(t, 2-a.Stock, b.Stock)
	}
}

// TestAdviceStands: the advice given last is kept while it is as safe, so that
// the number on the screen does not follow each reading.
func TestAdviceStands(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for range 50 {
		v := coachtest.NewVirtual(r)
		y := v.Reading()
		a := v.Bench.Advise(coach.Request{Now: coachtest.On(y)})
		if a.Do != coach.Add {
			continue
		}
		now := coach.Present{PH: y - 0.001*v.Up, Shown: y, SD: 0.005, FinalSD: 0.005, Settled: true}
		require.True(t, v.Bench.Stands(coach.Request{Now: now}, a.Stock, a.Drops))
		require.False(t, v.Bench.Stands(coach.Request{Now: now}, a.Stock, 3*a.Drops))
	}
}

// TestNoDoseOnAVagueReading: near the aim a vague reading is waited out.
func TestNoDoseOnAVagueReading(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	waits := 0
	for range 60 {
		v := coachtest.NewVirtual(r)
		_, last, y := v.Titrate(nil)
		if last.Do != coach.Stop {
			continue
		}
		near := last.Aim - v.Up*0.03
		a := v.Bench.Advise(coach.Request{Now: coach.Present{PH: near, Shown: near, SD: 0.1, FinalSD: 0.004}})
		never(t, v, a, y)
		if a.Do == coach.Wait {
			waits++
		}
	}
	require.Greater(t, waits, 50)
}

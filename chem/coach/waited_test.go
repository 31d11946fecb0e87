package coach_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
)

// TestLongWaitsMakeTheNextShorter: a vague reading is waited for up to four minutes, and
// for less where the earlier ones of the run took long already: on electrodes with a large
// late part ten minutes went by in waits, one run in five.
func TestLongWaitsMakeTheNextShorter(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 26))
	runs := 0
	for range 90 {
		v, h, y, _, ok := coachtest.Second(r)
		if !ok {
			continue
		}
		for _, c := range []struct {
			age, waited float64
			do          coach.Action
		}{
			{235, 0, coach.Wait}, {245, 0, coach.Add},
			{150, 240, coach.Wait}, {150, 300, coach.Wait}, {150, 345, coach.Add},
			{110, 2000, coach.Wait}, {125, 2000, coach.Add},
		} {
			now := coach.Present{PH: y, Shown: y, SD: 0.014, FinalSD: 0.014, Age: c.age, Waited: c.waited}
			a := v.Bench.Advise(coach.Request{History: h, Now: now})
			if a.Do == coach.Add && c.do == coach.Wait {
				t.Errorf("%+v: %g drops", c, a.Drops)
			}
			if c.do == coach.Add && a.Do == coach.Wait {
				t.Errorf("%+v: waits, %v", c, a.Reason)
			}
		}
		runs++
	}
	require.Greater(t, runs, 8)
}

// TestFirstDropsAreNoReasonToChangeAnOrder: a reading that has come nearer makes a dose on
// it riskier. Where the drops of the order itself may be what it shows, the order stands for
// as long as it leads inside the tolerance even so.
func TestFirstDropsAreNoReasonToChangeAnOrder(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 27))
	runs := 0
	for range 90 {
		v, h, y, aim, ok := coachtest.Second(r)
		if !ok {
			continue
		}
		now := coach.Present{PH: y, Shown: y, SD: 0.008, FinalSD: 0.008, Settled: true, Age: 100}
		a := v.Bench.Advise(coach.Request{History: h, Now: now})
		if a.Do != coach.Add || math.Abs(a.After-a.Aim) > 0.02 {
			continue
		}
		falls := func(begun bool) float64 { // how much nearer the reading comes until the order does not stand
			for d := 0.0; d < 0.1; d += 0.001 {
				at := now
				at.PH = y + math.Copysign(d, aim-y)
				if !v.Bench.Stands(coach.Request{History: h, Now: at, Begun: begun}, a.Stock, a.Drops) {
					return d
				}
			}
			return 0.1
		}
		plain, begun := falls(false), falls(true)
		require.Greater(t, begun, plain)
		past := math.Abs(a.After-y) + begun - math.Abs(a.Aim-y) // where the order leads then, about
		require.Greater(t, past, 0.001)
		require.Less(t, past, 0.027)
		runs++
	}
	require.Greater(t, runs, 5)
}

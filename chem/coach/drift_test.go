package coach_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
)

// Whatever is thought of where a reading ends, one that goes on moving is not at rest: done
// was said on displays that rose by 0.01 a second, and they ended outside.
func TestDoneIsNotSaidOfADisplayThatMoves(t *testing.T) {
	v := coachtest.NewVirtual(rand.New(rand.NewPCG(4, 4)))
	v.Bench.Tolerance = 0.1
	aim := v.Bench.Advise(coach.Request{Now: coach.Present{PH: v.Reading(), SD: 0.005, FinalSD: 0.005, Settled: true, Age: 200}}).Aim
	said := func(drift, age float64) coach.Action {
		now := coach.Present{PH: aim, Shown: aim - 0.03, SD: 0.02, FinalSD: 0.01, Age: age, Drift: drift}
		return v.Bench.Advise(coach.Request{Now: now}).Do
	}
	assert.Equal(t, coach.Stop, said(0, 60))
	assert.Equal(t, coach.Stop, said(0.0009, 60), "a creep of a hundredth in ten seconds is none, for ±0.1")
	assert.Equal(t, coach.Wait, said(0.0018, 60))
	assert.Equal(t, coach.Wait, said(0.01, 200))
}

// No addition is reckoned on a display that goes on moving by a part of the way that is
// left; who wants to go on is not held up.
func TestNoOrderOnADisplayThatMoves(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 28))
	runs := 0
	for range 120 {
		v, h, y, aim, ok := coachtest.Second(r)
		if !ok {
			continue
		}
		way := math.Abs(y - aim)
		do := func(part float64, goOn bool) coach.Action { // part of the way, in ten seconds
			now := coach.Present{PH: y, Shown: y, SD: 0.006, FinalSD: 0.006, Age: 70, Drift: part * way / 10, GoOn: goOn}
			return v.Bench.Advise(coach.Request{History: h, Now: now}).Do
		}
		if do(0, false) != coach.Add {
			continue
		}
		runs++
		assert.Equal(t, coach.Add, do(0.08, false))
		assert.Equal(t, coach.Wait, do(0.14, false))
		assert.Equal(t, coach.Add, do(0.14, true))
	}
	require.Greater(t, runs, 5)
}

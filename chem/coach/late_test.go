package coach_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
)

// TestNobodyWaitsForEver: a vague reading is waited for while that would change the
// dose; after four minutes no more when it would become little better, and before
// five minutes what is safe is given in any case.
func TestNobodyWaitsForEver(t *testing.T) {
	for _, c := range []struct {
		age, share float64 // s since the beaker was touched; spread now, times what it would become
		waits      bool
	}{
		{230, 1.3, true}, {250, 1.3, false}, {250, 1.4, true}, {270, 1.4, true}, {290, 1.4, false}, {270, 3, true}, {290, 3, false},
	} {
		r := rand.New(rand.NewPCG(13, 14))
		waits, adds := 0, 0
		for range 40 {
			v := coachtest.NewVirtual(r)
			h, last, _ := v.Titrate(nil)
			y := last.Aim - v.Up*0.1 // somewhat short of the aim
			now := coach.Present{PH: y, Shown: y, SD: 0.012 * c.share, FinalSD: 0.012, Age: 60}
			if v.Bench.Advise(coach.Request{History: h, Now: now}).Do != coach.Wait {
				continue // a better reading would change nothing
			}
			now.Age = c.age
			switch v.Bench.Advise(coach.Request{History: h, Now: now}).Do {
			case coach.Wait:
				waits++
			case coach.Add:
				adds++
			}
		}
		require.Positive(t, waits+adds)
		assert.Equal(t, c.waits, waits > adds, "%+v: %d wait, %d add", c, waits, adds)
	}
}

// TestLikelyHitIsNotWaitedFor: a vague reading is waited for, but not where the
// addition will land in tolerance very likely as it is.
func TestLikelyHitIsNotWaitedFor(t *testing.T) {
	r := rand.New(rand.NewPCG(75, 85))
	likely, unlikely := 0, 0
	for range 170 {
		v := coachtest.NewVirtual(r)
		h, last, _ := v.Titrate(nil)
		y, sd := last.Aim-v.Up*(0.03+0.05*r.Float64()), 0.006+0.008*r.Float64()
		now := coach.Present{PH: y, Shown: y, SD: sd, FinalSD: sd, Settled: true, Age: 300}
		late := v.Bench.Advise(coach.Request{History: h, Now: now})
		if late.Do != coach.Add {
			continue
		}
		now.Age = 50
		early := v.Bench.Advise(coach.Request{History: h, Now: now})
		switch p := v.Lands(late); {
		case p > 0.83:
			likely++
			assert.Equal(t, coach.Add, early.Do, "%.2f", p)
			now.Age = 40 // the last of the drops may not have mixed
			assert.Equal(t, coach.Wait, v.Bench.Advise(coach.Request{History: h, Now: now}).Do, "%.2f", p)
		case p < 0.77:
			unlikely++
			assert.Equal(t, coach.Wait, early.Do, "%.2f", p)
		}
	}
	assert.Greater(t, likely, 5)
	assert.Greater(t, unlikely, 5)
}

package run_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/sim"
)

// lastOrder is a stand with an order in sight that leads inside the tolerance.
func lastOrder(t *testing.T, seed uint64) (*stand, view.View) {
	p := newStand(t, tris(), func(_ *recipe.Setup, tr *sim.Truth) { tr.Seed, tr.Decimals = seed, 2 })
	for p.sec < 900 {
		v := p.second()
		if v.Advice.Do == coach.Add && v.Advice.After < v.Advice.Aim+v.Tolerance { // acid brings it down
			return p, v
		}
		if v.Advice.Do == coach.Add {
			p.pours(v, v.Advice.Drops, false)
			p.notes(v)
		}
	}
	t.Fatal("no last order")
	return nil, view.View{}
}

// The first drops of an order may look like creep: a weak bottle, a slow electrode. A reading
// that comes nearer makes an order riskier, and one that moves is vaguer; but whoever began
// at once is in the middle of it, and the number does not change under the hand. After that
// time it has to stand on what is read. At a plate that is not ours the number changed in one
// run of forty.
func TestANumberDoesNotChangeUnderTheHand(t *testing.T) {
	seen := 0
	for seed := uint64(1); seed <= 5; seed++ {
		p, v := lastOrder(t, seed)
		s, order := &p.keep.State, v.Advice
		vague := 0.015 // a spread with which it is right on no fresh look
		for right := true; right; {
			if vague += 0.005; vague > 0.1 {
				break
			}
			right = false
			for _, nearer := range []float64{-0.5, 0, 0.2} {
				est := s.OrderedOn()
				est.End, est.SD = est.End-nearer*est.SD, vague
				a := s.Upheld(est, s.OrderedAt()+6)
				right = right || a.Do == coach.Add && a.Drops == order.Drops
			}
		}
		if vague > 0.1 {
			continue // its noise looks like a first drop
		}
		seen++
		for _, c := range []struct {
			nearer float64 // standard deviations of the reading that it was given on
			after  float64 // s
			drops  float64 // and so many seconds for each of its drops
			stands bool
		}{
			{0, 6, 0, false}, {-0.5, 6, 0, false}, {0.2, 6, 0, false}, {0.3, 6, 0, true},
			{0.5, 9, 1.3, true}, {0.5, 11, 1.3, false}, {0.5, 11, 0.9, true}, {0.5, 10, 1.7, false},
		} {
			est := s.OrderedOn()
			est.End -= c.nearer * est.SD
			est.SD = vague
			now := s.OrderedAt() + c.after + c.drops*order.Drops
			a := s.Upheld(est, now)
			require.Equal(t, c.stands, a.Do == coach.Add && a.Drops == order.Drops, "seed %d, %g drops: %+v: %v %g", seed, order.Drops, c, a.Do, a.Drops)
		}
		assert.NotZero(t, order.Drops)
	}
	assert.GreaterOrEqual(t, seen, 3)
}

// Somebody who was away for a quarter of an hour has not waited for a reading that long: no
// more counts than the coach waits at the most.
func TestWaitsAreTheCoachs(t *testing.T) {
	p, v := ordered(t, nil)
	for p.sec < 900 {
		v = p.second()
	}
	require.Equal(t, coach.Add, v.Advice.Do)
	p.pours(v, v.Advice.Drops, false)
	p.notes(v)
	require.InDelta(t, 280, p.keep.State.Waited(), 1)
}

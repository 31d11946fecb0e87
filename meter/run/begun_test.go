package run_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
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

// A display of two decimals goes up by two digits with the first drops of a weak bottle, and
// stands there for some seconds: whoever gives them is in the middle of it, whether or not
// anybody looks at the screen just then.
func TestWhatHasBegunGoesOn(t *testing.T) {
	w := walkingIn(t, recipe.Plan{
		Target: recipe.Target{PH: num(7.2), Tolerance: num(0.05)}, Beaker: recipe.Beaker{StartML: num(200), FinalML: num(250), TempC: num(25)},
		Weighed:  []recipe.Weighed{{Reagent: "MOPS", MMol: num(10)}},
		Titrants: []recipe.Titrant{{Name: "NaOH 0.5 M", Reagent: "NaOH", Molar: num(0.5)}},
	})
	read := func(ph float64) view.View {
		w.sec++
		x := math.Round(100*(ph+0.001*w.r.NormFloat64())) / 100
		require.NoError(t, w.keep.Take(journal.Event{T: w.sec, Kind: journal.Read, Reading: &journal.Reading{PH: &x, Decimals: 2}}))
		return w.keep.Look(w.sec)
	}
	var v view.View
	for range 60 {
		v = read(4.4)
	}
	require.Equal(t, coach.Add, v.Advice.Do, v.Sentence())
	begun := false
	for i := range 40 {
		v = read(4.42 + 0.02*float64(i/20)) // two digits, and again twenty seconds later
		begun = begun || v.Advice.Reason == coach.Dosing
		if begun {
			assert.Equal(t, coach.Dosing, v.Advice.Reason, "%d s: %s", i, v.Sentence())
		}
	}
	assert.True(t, begun)
}

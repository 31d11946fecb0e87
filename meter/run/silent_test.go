package run_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/sim"
)

// pours lets two drops of what is ordered fall a second, and the seconds pass without a
// reading, as far as a meter that pauses is concerned.
func (p *stand) pours(v view.View, drops float64, silent bool) (last view.View) {
	p.t.Helper()
	for n := 0.0; n < drops; n += 2 {
		require.NoError(p.t, p.sim.Dispense(v.Titrant, 2, 0))
		if !silent {
			last = p.second()
			continue
		}
		p.sec++
		p.sim.Advance(p.sec)
		last = p.keep.Look(p.sec)
	}
	return last
}

// ordered is a stand with an order in sight.
func ordered(t *testing.T, truth func(*recipe.Setup, *sim.Truth)) (*stand, view.View) {
	p := newStand(t, phosphate(), truth)
	for p.sec < 120 {
		if v := p.second(); v.Advice.Do == coach.Add {
			return p, v
		}
	}
	t.Fatal("no order")
	return nil, view.View{}
}

// A meter that pauses while the drops of an order fall takes nothing of it back: the same
// order stands when readings come again, and no other. Pauses of more than 5 s are usual
// on open recordings.
func TestAnOrderOutlivesAPauseOfTheMeter(t *testing.T) {
	for seen := 0.0; seen <= 12; seen++ { // drops that fall before the pause
		p, was := ordered(t, nil)
		p.pours(was, seen, false)
		v := p.pours(was, was.Advice.Drops-seen, true)
		for range 20 {
			v = p.second()
			if v.Advice.Do == coach.Add || v.Advice.Reason == coach.Unsaid {
				require.Equal(t, was.Advice.Drops, v.Advice.Drops, "%g: %s", seen, v.Sentence())
			}
		}
		require.NotNil(t, v.Falling, "%g: %s", seen, v.Sentence())
		p.notes(was)
		for range 60 {
			v = p.second()
			require.NotEqual(t, coach.Check, v.Advice.Do, "%g: %s", seen, v.Sentence())
		}
	}
}

// What was put on record while the meter paused shows when readings come again, however
// late that is: nobody is asked why the reading moved.
func TestAnAdditionOnRecordInAPause(t *testing.T) {
	for seed := uint64(1); seed <= 2; seed++ {
		for seen := 6.0; seen <= 18; seen += 2 {
			p, was := ordered(t, func(_ *recipe.Setup, tr *sim.Truth) {
				tr.Tau, tr.Mixing, tr.Decimals, tr.Noise, tr.Seed = 3.2, 1.5, 2, 0.003, seed
			})
			p.pours(was, seen, false)
			for range 6 { // the hand rests, and the reading seems to
				p.second()
			}
			p.pours(was, was.Advice.Drops-seen, true)
			p.notes(was)
			p.sec += 50
			p.sim.Advance(p.sec)
			for range 60 {
				v := p.second()
				require.NotEqual(t, coach.Check, v.Advice.Do, "seed %d, %g: %s", seed, seen, v.Sentence())
			}
		}
	}
}

// notes puts on record what has fallen already.
func (p *stand) notes(v view.View) {
	p.t.Helper()
	a, err := p.keep.State.Addition(v.Titrant, v.Advice.Drops, 0)
	require.NoError(p.t, err)
	require.NoError(p.t, p.keep.Take(journal.Event{T: p.sec, Kind: journal.Added, Added: &a}))
}

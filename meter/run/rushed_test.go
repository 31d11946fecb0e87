package run_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/propose"
	"example.org/halfdrop/meter/sim"
)

// Who gives one addition after the other, and waits for no reading, is accused of nothing:
// while drops fall there is no value of the composition before them.
func TestAdditionsOneAfterTheOther(t *testing.T) {
	slow := func(_ *recipe.Setup, tr *sim.Truth) {
		tr.Tau, tr.Decimals, tr.Noise, tr.SlowShare, tr.SlowTau, tr.Before = 7, 2, 0.005, 0.02, 90, 7
	}
	for name, plan := range map[string]func() *stand{
		"Tris":      func() *stand { return newStand(t, tris(), slow) },
		"phosphate": func() *stand { return newStand(t, phosphate(), slow) },
	} {
		p := plan()
		stock := p.keep.State.Setup.Stocks[0].Name
		v := p.second()
		v = p.second()
		for _, n := range []int{17, 43, 40} {
			for i := range n {
				require.NoError(t, p.sim.Dispense(stock, 1, 0))
				if i%2 == 1 {
					v = p.second()
				}
			}
			a, err := p.keep.State.Addition(stock, float64(n), 0)
			require.NoError(t, err)
			require.NoError(t, p.keep.Take(propose.Dated(p.keep.State, journal.Event{T: p.sec, Kind: journal.Added, Added: &a})))
		}
		for range 200 {
			v = p.second()
			assert.NotEqual(t, coach.Mistaken, v.Advice.Reason, "%s, %.0f s: %s", name, p.sec, v.Sentence())
			if v.Advice.Reason == coach.Mistaken {
				break
			}
		}
		for _, e := range v.Entries {
			t.Logf("%s: %d before %.3f ± %.3f", name, e.Seq, e.Before.End, e.Before.SD)
		}
	}
}

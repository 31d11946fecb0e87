package run_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/run/propose"
	"example.org/halfdrop/meter/sim"
)

// Done says beside it when drops did much more or less than the plan says, what may be the
// cause, and what tells the causes apart; and nothing of drops as they were meant.
func TestDoneSaysWhatDropsDid(t *testing.T) {
	for _, c := range []struct {
		ln   float64
		says string
	}{{0, ""}, {0.4, "larger drops or more of them, a stronger stock or less buffer"}, {-0.4, "smaller drops or fewer of them, a weaker stock or more buffer"}} {
		p := newStand(t, tris(), func(_ *recipe.Setup, tr *sim.Truth) {
			for i := range tr.LnDrop {
				tr.LnDrop[i] = c.ln
			}
		})
		v := p.second()
		for p.sec < 1200 && v.Advice.Do != coach.Stop {
			switch v = p.second(); v.Advice.Do {
			case coach.Add:
				p.pours(v, v.Advice.Drops, false)
				p.notes(v)
			case coach.Check:
				e, _, err := propose.Passing(p.keep.State, p.sec, 0)
				require.NoError(t, err)
				require.NoError(t, p.keep.Take(e))
			}
		}
		require.Equal(t, coach.Stop, v.Advice.Do)
		v = p.second()
		if c.says == "" {
			require.Zero(t, v.Brought)
			require.Empty(t, v.Note)
			continue
		}
		require.InDelta(t, c.ln, math.Log(v.Brought), 0.1)
		require.Contains(t, v.Why(), c.says)
		require.Contains(t, v.Why(), "20 drops on a balance")
		v.Cautions = []string{"no calibration is known"} // which is said first, and not alone
		require.Regexp(t, "no calibration is known; .*20 drops on a balance", v.Why())
	}
}

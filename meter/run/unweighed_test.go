package run_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/run/runtest"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/sim"
)

// Of a beaker that nobody weighed the curve is drawn from here on: what is believed of it
// holds near the last reading, and through the earlier ones it did not go. Of one that was
// weighed it is drawn from nothing added on.
func TestTheCurveOfAnUnweighedBeakerBeginsHere(t *testing.T) {
	full, err := recipe.Compile(runtest.Tris())
	require.NoError(t, err)
	for _, weighed := range []bool{true, false} {
		p := runtest.Tris()
		if !weighed {
			p.Weighed = nil
		}
		b := newStand(t, p, func(_ *recipe.Setup, tr *sim.Truth) {
			if !weighed {
				tr.Weighed = full.Weighed
			}
		})
		for range 60 {
			b.second()
		}
		b.add("acid", 20)
		for range 60 {
			b.second()
		}
		var old view.View
		v := b.keep.State.LookAgain(b.sec, old)
		require.NotEmpty(t, v.Curve)
		require.NotZero(t, v.Charge)
		from := 0.0
		if !weighed {
			from = v.Charge
		}
		assert.InDelta(t, from, v.Curve[0].Charge, 1e-9, "weighed: %v", weighed)
	}
}

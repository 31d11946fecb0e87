package belief_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
)

// No order is for more charge than takes the plan from pH 2 to pH 12, whatever is believed of the
// beaker. Of the plain beaker that is its 10 mmol and, in its 100 g of water, 0.01 mol/kg of
// acid at one end and of base at the other, over activity coefficients of about 0.8: 2.5 mmol.
// An order of 728 mmol was given for 50 mmol of phosphate, on a reading of another liquid.
func TestNoOrderIsForMoreThanTheWholeCurve(t *testing.T) {
	b, shown := coachtest.Plain(0.2, 0.8)
	first := coach.History{Observations: []coach.Observation{{PH: shown, SD: 0.01}}}
	bel := b.Believe(first)
	whole := bel.Whole()
	assert.InDelta(t, 0.0125, whole, 0.0005)
	// Forty drops, two of the ten millimoles, that have moved next to nothing: as if there
	// were a hundred times as much.
	h := first
	h.Additions = []coach.Addition{{Stock: 0, Volume: 40 * b.Stocks[0].Drop, Drops: 40}, {Stock: 0, Volume: 40 * b.Stocks[0].Drop, Drops: 40}}
	h.Observations = append(h.Observations, coach.Observation{After: 1, PH: shown + 0.003, SD: 0.002})
	r := coach.Request{History: h, Now: coach.Present{PH: shown + 0.006, SD: 0.002, FinalSD: 0.002, Shown: shown + 0.006, Settled: true, Age: 300}}
	orders := 0
	for range 6 { // what is asked about has been looked at
		a := b.Advise(r)
		if a.Do == coach.Add {
			orders++
			assert.LessOrEqual(t, a.Drops, whole/0.05e-3)
			assert.Greater(t, a.Drops, 0.9*whole/0.05e-3, "and without it there would be more")
			break
		}
		require.Equal(t, coach.Check, a.Do)
		r.Confirmed = append(r.Confirmed, a.Codes()...)
	}
	assert.Equal(t, 1, orders)
}

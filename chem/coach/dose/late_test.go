package dose_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
)

// TestLatePartIsDosedWarily: the readings of an electrode with a large late part are no
// better than their spreads say, and its additions may pass with half the chance and less.
func TestLatePartIsDosedWarily(t *testing.T) {
	v := coachtest.NewVirtual(rand.New(rand.NewPCG(7, 36)))
	h, _, _ := v.Titrate(nil)
	require.GreaterOrEqual(t, len(h.Additions), 2)
	last := h.Observations[1]
	first := coach.History{Observations: h.Observations[:1]}
	h.Additions, h.Observations = h.Additions[:1], h.Observations[:2]
	usual, last1, none := allowed(&v.Bench, h, 0), lastOf(&v.Bench, h), allowed(&v.Bench, first, 0)
	h.Late, first.Late = true, true
	assert.InDelta(t, 0.007, allowed(&v.Bench, h, 0), 1e-9)
	assert.InDelta(t, 0.015, lastOf(&v.Bench, h), 1e-9)
	assert.InDelta(t, 0.02, usual, 1e-9)
	assert.InDelta(t, 0.03, last1, 1e-9)
	assert.InDelta(t, none, allowed(&v.Bench, first, 0), 1e-9, "the first goes by labels")
	now := coach.Present{PH: last.PH, SD: 0.005, FinalSD: 0.005, Shown: last.PH, Settled: true, Age: 200}
	warily := v.Bench.Advise(coach.Request{History: coach.History{Additions: h.Additions, Observations: h.Observations[:1], Late: true}, Now: now})
	boldly := v.Bench.Advise(coach.Request{History: coach.History{Additions: h.Additions, Observations: h.Observations[:1]}, Now: now})
	require.Equal(t, coach.Add, boldly.Do)
	assert.Less(t, warily.Volume, boldly.Volume)
}

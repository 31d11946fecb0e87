package account_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
)

// The smallest step of a pipette is read off to a third of it: one that did 0.45 of what it
// says is no addition that went elsewhere, "99 % likely". Three steps at 0.45 are short by 1.65 of
// one, five times that third, and twenty by eleven: those are one, and the more so the larger they are.
// It was 0.84 of three steps and 0.005 of five: where accounts trade a shift of the scale for
// a beaker that is another, the last reading alone did not bring them to rest.
func TestAStepOrTwoOfAPipetteIsNoEvidence(t *testing.T) {
	v := coachtest.NewVirtual(rand.New(rand.NewPCG(3, 3)))
	y := v.Reading()
	first := v.Bench.Advise(coach.Request{Now: coach.Present{PH: y, SD: 0.0005, FinalSD: 0.0005, Shown: y, Settled: true, Age: 200}})
	require.Equal(t, coach.Add, first.Do)
	v.Add(first)
	h := coach.History{Additions: []coach.Addition{{Stock: first.Stock, Volume: first.Volume, Drops: first.Drops}}, Observations: []coach.Observation{{PH: y, SD: 0.0005}}}
	y = v.Reading()
	h.Observations = append(h.Observations, coach.Observation{After: 1, PH: y, SD: 0.0005})
	likely := func(steps, sd float64) float64 { // of any mistake, where so many did 0.45 of it
		h, a := h, coach.Addition{Stock: first.Stock, Volume: v.Bench.Stocks[first.Stock].Drop * chem.Volume(steps)}
		before := h // without the addition
		h.Additions = append(h.Additions[:1:1], a)
		after, _, _ := v.Bench.Landing(coach.Request{History: before, Now: coach.Present{PH: y, SD: sd}}, a)
		h.Observations = append(h.Observations[:2:2], coach.Observation{After: 2, PH: y + 0.45*(after-y), SD: sd})
		bel := v.Bench.Believe(h)
		_, w := bel.Suspects()
		return w
	}
	assert.Less(t, likely(2, 0.0005), 0.3)
	assert.Greater(t, likely(3, 0.0005), 0.35)
	assert.Greater(t, likely(20, 0.0005), 0.7)
	for _, sd := range []float64{0.0005, 0.003, 0.005, 0.01} {
		was := 0.0
		for steps := 1.0; steps <= 30; steps++ {
			is := likely(steps, sd)
			assert.Greater(t, is, was-0.01, "%g steps, read ± %g", steps, sd)
			was = is
		}
	}
}

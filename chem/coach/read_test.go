package coach_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/chem/coach"
)

// The smallest step of a pipette is read off to a third of it: one that did 0.45 of what it
// says is no addition that went elsewhere, "99 % likely". Three steps at 0.45 are short by 1.65 of
// one, five times that third, and twenty by eleven: those are one.
func TestAStepOrTwoOfAPipetteIsNoEvidence(t *testing.T) {
	v := newVirtual(rand.New(rand.NewPCG(3, 3)))
	y := v.reading(t)
	first := v.bench.Advise(coach.Request{Now: coach.Present{PH: y, SD: 0.0005, FinalSD: 0.0005, Shown: y, Settled: true, Age: 200}})
	require.Equal(t, coach.Add, first.Do)
	v.add(first)
	h := coach.History{Additions: []coach.Addition{{Stock: first.Stock, Volume: first.Volume, Drops: first.Drops}}, Observations: []coach.Observation{{PH: y, SD: 0.0005}}}
	y = v.reading(t)
	h.Observations = append(h.Observations, coach.Observation{After: 1, PH: y, SD: 0.0005})
	likely := func(steps float64) float64 { // of any mistake, where so many did 0.45 of it
		h, a := h, coach.Addition{Stock: first.Stock, Volume: v.bench.Stocks[first.Stock].Drop * chem.Volume(steps)}
		before := h // without the addition
		h.Additions = append(h.Additions[:1:1], a)
		after, _, _ := v.bench.Landing(coach.Request{History: before, Now: coach.Present{PH: y, SD: 0.0005}}, a)
		h.Observations = append(h.Observations[:2:2], coach.Observation{After: 2, PH: y + 0.45*(after-y), SD: 0.0005})
		bel := v.bench.Believe(h)
		return coach.Accused(&bel)
	}
	assert.Less(t, likely(2), 0.3)
	assert.Greater(t, likely(3), 0.5)
	assert.Greater(t, likely(20), 0.7)
}

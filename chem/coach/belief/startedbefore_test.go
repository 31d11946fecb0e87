package belief_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
	"example.org/halfdrop/chem/recipe"
)

// A beaker that somebody has begun to titrate, or has titrated past, starts anywhere: who says
// so is accused of nothing, and what is left to give is that of its buffer. Of 20 mmol of
// ethanolamine the part 1/(1 + 10^(pKa′ − pH)) is a free base (Henderson–Hasselbalch; pKa 9.50
// at 25 °C, Bates & Pinching 1951, and pKa′ 9.6 at this ionic strength, from memory): from 8.00
// to 9.50 that takes 20 mmol × (0.443 − 0.025), 167 drops of 0.05 mmol.
func TestWhoHasBegunBeforeIsBelieved(t *testing.T) {
	b := coachtest.PlanOf("ethanolamine", 20, 9.5)
	r := coachtest.AtRest(coach.History{}, 8.0)
	require.Equal(t, coach.Mistaken, b.Advise(r).Reason, "untold it is asked about")
	r.History.Begun = true
	a := b.Advise(r)
	require.Equal(t, coach.Add, a.Do, "%v", a.Codes())
	assert.Equal(t, 1, a.Stock, "back with the base")
	assert.Less(t, a.After, a.Aim)
	bel := b.Believe(r.History.With(8.0, 0.01))
	assert.Less(t, bel.Weight(recipe.Absent), 0.01)
	far := r // all of it has been given, and more
	far.Now.PH, far.Now.Shown = 4.0, 4.0
	assert.Equal(t, coach.Add, b.Advise(far).Do, "%v", b.Advise(far).Codes())
	assert.InEpsilon(t, 167, b.DropsBetween(r.History, 1, 8.0, 9.5), 0.06)
}

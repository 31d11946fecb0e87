package coach_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
)

// TestNobodyIsNamedOnAVagueReading: however sure it would be, up to some 0.03 pH or twice of what
// the reading will be known in the end.
func TestNobodyIsNamedOnAVagueReading(t *testing.T) {
	for _, c := range []struct {
		sd, final float64
		do        coach.Action
	}{
		{0.025, 0.005, coach.Check}, {0.036, 0.005, coach.Wait},
		{0.042, 0.0235, coach.Check}, {0.06, 0.024, coach.Wait},
	} {
		b, h, y := coachtest.Doubled(0.05)
		a := b.Advise(coach.Request{History: h, Now: coach.Present{PH: y, Shown: y, SD: c.sd, FinalSD: c.final, Age: 265}})
		assert.Equal(t, c.do, a.Do, "%+v: %v", c, a.Reason)
	}
}

// TestStepsAreProbesWhileAccountsAreOpen: from one chance in five on that something is wrong.
func TestStepsAreProbesWhileAccountsAreOpen(t *testing.T) {
	for prior, why := range map[float64]coach.Reason{0.165: coach.Far, 0.24: coach.Probe} {
		b, shown := coachtest.Plain(0.2, 0.6)
		b.Stocks[0].DropSD = 0.05
		b.Mistakes = []coach.Mistake{coachtest.Bottle(b, "stronger", prior, 2)} // nothing was given: no reading can tell
		a := b.Advise(coach.Request{Now: coachtest.Settled(shown, 0.003)})
		require.Equal(t, coach.Add, a.Do)
		assert.Equal(t, why, a.Reason, "%g", prior)
	}
}

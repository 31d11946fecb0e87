package belief_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
)

// TestAlikeAccountsAreNamedTogether: what the readings cannot tell apart is named beside the
// likeliest, where it has a seventh of its probability or so; three at the most.
func TestAlikeAccountsAreNamedTogether(t *testing.T) {
	for _, c := range []struct {
		priors []float64
		named  int
	}{
		{[]float64{0.05, 0.05 * 0.125}, 1},
		{[]float64{0.05, 0.05 * 0.18}, 2},
		{[]float64{0.05, 0.04, 0.03, 0.02, 0.02}, 3},
	} {
		b, h, y := coachtest.Doubled(c.priors...)
		a := b.Advise(coach.Request{History: h, Now: coachtest.Settled(y, 0.003)})
		require.Equal(t, coach.Check, a.Do, "%v", a.Reason)
		assert.Len(t, a.Mistakes, c.named, "%v", c.priors)
	}
}

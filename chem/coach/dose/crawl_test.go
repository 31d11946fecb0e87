package dose_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
)

// TestCrawlingMayRiskMore: small steps in a row double the chance that the next may have,
// from the second on; one that led somewhere begins anew.
func TestCrawlingMayRiskMore(t *testing.T) {
	v := coachtest.NewVirtual(rand.New(rand.NewPCG(7, 36)))
	h, _, _ := v.Titrate(nil)
	h.Additions, h.Observations = h.Additions[:1], h.Observations[:2]
	usual := allowed(&v.Bench, h, 0, 0.3)
	for _, c := range []struct {
		shares []float64
		times  float64
	}{
		{[]float64{0.3, 0.1}, 1},
		{[]float64{0.3, 0.1, 0.1}, 2},
		{[]float64{0.3, 0.1, 0.1, 0.1}, 4},
		{[]float64{0.3, 0.1, 0.15, 0.1}, 1},
		{[]float64{0.3, 0.1, 0.1, 0.3}, 1},
	} {
		assert.InEpsilon(t, c.times*usual, allowed(&v.Bench, h, 0, c.shares...), 1e-9, "%v", c.shares)
	}
	many := []float64{0.3, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1}
	assert.InDelta(t, 0.1, allowed(&v.Bench, h, 0, many...), 1e-9, "up to one in ten")
	assert.Less(t, allowed(&v.Bench, coach.History{Observations: h.Observations[:1]}, 0), usual, "on labels alone")
}

package probe_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/probe"
)

// Who says that the electrode is in the beaker says so on the way to it. The first reading
// after that was believed at once, as the one before it: an order came in the same second,
// on the pH of the rinse water.
func TestAnElectrodeIsSaidToBeInBeforeItIs(t *testing.T) {
	for seed := uint64(1); seed <= 40; seed++ {
		x := begin(kinds[seed%2], seed)
		x.seconds(40)
		x.drips(math.Copysign(0.8, x.pool-7))
		x.seconds(60)
		was := x.pool
		x.pool, x.near = 7, 7 // another liquid
		x.seconds(18)
		x.k = x.k.Immerse(x.clock)
		late := int(seed % 5) // s, until it is in
		for range late {
			x.seconds(1)
			if e := x.k.Estimate(x.clock); assert.Greater(t, e.SD, 0.4, "seed %d", seed) {
				assert.NotEqual(t, probe.Settled, e.State)
			}
		}
		x.pool, x.near = was, was
		x.seconds(25)
		e := x.k.Estimate(x.clock)
		assert.InDelta(t, was, e.End, math.Max(4.5*e.SD, 0.06), "seed %d, %.3f ± %.3f", seed, e.End, e.SD)
		assert.Less(t, e.SD, 0.5, "seed %d", seed)
		assert.Empty(t, x.k.Moves(), "seed %d: nobody is asked what moved", seed)
	}
}

// An electrode that is taken out within seconds of an addition is not the addition: acid
// does not bring a reading far above where it was before.
func TestTakenOutSoonAfterAnAddition(t *testing.T) {
	back := 0
	for seed := uint64(1); seed <= 40; seed++ {
		x := begin(kinds[seed%2], seed)
		x.pool = 4.5 + 0.02*float64(seed)
		x.seconds(60)
		x.drips(-0.3)
		x.seconds(6)
		was := x.pool
		x.pool, x.near = 7, 7
		x.seconds(80)
		assert.NotEmpty(t, x.k.Moves(), "seed %d", seed)
		x.pool, x.near = was, was
		x.seconds(60)
		if len(x.k.Moves()) == 0 {
			back++
		}
	}
	assert.GreaterOrEqual(t, back, 38, "of 40 that came back nothing is asked")
}

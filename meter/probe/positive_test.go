package probe_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A fast part of two time constants came from pH 7 and was taken for a late part with a
// share below zero, of which there is none: after the first addition the end was given 0.2
// beside a reading that stood still, as five of its spreads, and the next addition went
// past the aim on it.
func TestNoLatePartIsNegative(t *testing.T) {
	kd := kind{"two fast parts", [2]float64{1, 3}, [2]float64{0.005, 0.03}, [2]float64{40, 120}, [2]float64{0.0008, 0.003}, 3}
	for seed := uint64(1); seed <= 200; seed++ {
		x := begin(kd, seed)
		x.part, x.slower = 0.05+0.15*x.r.Float64(), 5+9*x.r.Float64()
		x.near = 7 // put in just now: the film of what it stood in is still on it
		x.seconds(45)
		x.drips(math.Copysign(1.6, 7-x.pool))
		x.seconds(60)
		e := x.k.Estimate(x.clock)
		assert.GreaterOrEqual(t, e.Late, -0.02, "seed %d: %.3f ± %.3f, is %.3f", seed, e.End, e.SD, x.pool)
	}
}

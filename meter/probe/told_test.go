package probe_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/probe"
)

// Somebody said when the first drop of an order fell; the drops came slowly, what they did was
// small, and they were put on record 45 s after the first. What was known of the beaker
// before is what was known before that: it was what the meter showed in the end, so that the
// addition had "no response, 99 %".
func TestAFirstDropThatWasToldLongAgo(t *testing.T) {
	off := 0
	for seed := uint64(1); seed <= 60; seed++ {
		x := begin(kinds[seed%2], seed)
		x.seconds(150)
		way := 0.03 + 0.002*float64(seed)
		x.k = x.k.Await(-1)
		was, e := x.pool, x.k.Estimate(x.clock)
		x.seconds(int(seed % 9)) // until the bottle is in the hand
		told := x.clock
		for range 12 {
			x.pool -= way / 12
			x.seconds(2)
		}
		x.seconds(21)
		x.added++
		var g probe.Given
		x.k, g = x.k.Give(probe.Addition{Seq: x.added, T: x.clock, From: told, Step: -way, SD: 0.2 * way, Take: 8})
		assert.InDelta(t, told, g.From, 12, "seed %d", seed)
		assert.NotEqual(t, x.clock, g.From, "seed %d", seed)
		if math.Abs(g.Before.End-was) > math.Max(3*e.SD, 0.012) {
			off++
		}
	}
	assert.LessOrEqual(t, off, 3, "of 60")
}

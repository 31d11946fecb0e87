package probe

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Noise is one line, however wide: bubbles and a cracked cable make normal scatter of some
// tenths, which is wrongly halved where it is taken for pick-up. Two lines as recorded, the lower
// with 0.03 pH spread and the upper 0.3 to 0.6 above it, are seen within 20 readings.
func TestWideNoiseIsOneLine(t *testing.T) {
	const runs = 500
	for _, sd := range []float64{0.1, 0.2, 0.3, 0.5, 1} {
		on := 0
		for seed := range uint64(runs) {
			r := rand.New(rand.NewPCG(seed, 1))
			var p pickup
			for i := 0; i < 30 && !p.on; i++ {
				p, _, _ = p.push(obs{float64(i), 7 + sd*r.NormFloat64()})
			}
			if p.on {
				on++
			}
		}
		t.Logf("SD %.1f: two lines in %d of %d", sd, on, runs)
		assert.LessOrEqual(t, on, runs/10, "SD %g", sd)
	}
	seen := 0
	for seed := range uint64(runs) {
		r := rand.New(rand.NewPCG(seed, 2))
		var p pickup
		for i := 0; i < 20 && !p.on; i++ {
			y := 7 + 0.03*r.NormFloat64()
			if r.IntN(2) == 1 {
				y += 0.3 + 0.3*r.Float64()
			}
			p, _, _ = p.push(obs{float64(i), y})
		}
		if p.on {
			seen++
		}
	}
	t.Logf("recorded lines: seen in %d of %d", seen, runs)
	assert.GreaterOrEqual(t, seen, runs*8/10)
}

package sift

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// The noise of any sensor that was recorded is one line: the widest 0.08 (a process flask). Two
// lines as recorded, the lower with 0.03 pH spread and the upper 0.3 to 0.6 above it, are seen
// within 20 readings. Noise of 0.3, bubbles or a cracked cable, is often taken for two lines;
// asking for a gap as wide as to prevent that made three times as many false alarms where the
// pick-up is real.
func TestNoiseIsOneLine(t *testing.T) {
	const runs = 500
	for _, sd := range []float64{0.03, 0.08, 0.1} {
		on := 0
		for seed := range uint64(runs) {
			r := rand.New(rand.NewPCG(seed, 1))
			var p Lines
			for i := 0; i < 30 && !p.on; i++ {
				p, _, _ = p.Push(Sample{T: float64(i), PH: 7 + sd*r.NormFloat64()})
			}
			if p.on {
				on++
			}
		}
		t.Logf("SD %.1f: two lines in %d of %d", sd, on, runs)
		assert.LessOrEqual(t, on, runs/50, "SD %g", sd)
	}
	seen := 0
	for seed := range uint64(runs) {
		r := rand.New(rand.NewPCG(seed, 2))
		var p Lines
		for i := 0; i < 20 && !p.on; i++ {
			y := 7 + 0.03*r.NormFloat64()
			if r.IntN(2) == 1 {
				y += 0.3 + 0.3*r.Float64()
			}
			p, _, _ = p.Push(Sample{T: float64(i), PH: y})
		}
		if p.on {
			seen++
		}
	}
	t.Logf("recorded lines: seen in %d of %d", seen, runs)
	assert.GreaterOrEqual(t, seen, runs*9/10)
}

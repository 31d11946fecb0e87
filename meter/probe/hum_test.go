package probe

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestSlowNoiseIsNoMovement(t *testing.T) {
	moved, white := 0, 0
	for seed := range uint64(20) {
		for _, r := range []float64{0, 0.5} {
			rnd := rand.New(rand.NewPCG(seed, 2))
			k, e := Track(Unknown()).Resolve(0.001), 0.0
			for i := range 300 {
				e = r*e + math.Sqrt(1-r*r)*0.02*rnd.NormFloat64()
				k = k.Push(float64(i), math.Round(1000*(7+e))/1000)
			}
			switch n := len(k.moves); {
			case n > 0 && r > 0:
				moved++
			case n > 0:
				white++
			}
		}
	}
	assert.Zero(t, white)
	assert.LessOrEqual(t, moved, 2, "of 20; 8 when noise is taken to be white")
}

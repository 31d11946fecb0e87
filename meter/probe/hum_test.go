package probe

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// hummed is the correlation learned from so many residuals of an autoregression.
func hummed(r float64, n int, seed uint64) hum {
	rnd := rand.New(rand.NewPCG(seed, 1))
	var h hum
	z := 0.0
	for range n {
		z = r*z + math.Sqrt(1-r*r)*rnd.NormFloat64()
		h = h.push(z)
	}
	return h
}

func TestCorrelationOfNoise(t *testing.T) {
	white, slow := 0.0, 0.0
	for seed := range uint64(200) {
		white += hummed(0, 120, seed).louder() / 200
		slow += hummed(0.5, 120, seed).louder() / 200
	}
	assert.Less(t, white, 1.03, "white noise is left as it is")
	assert.InDelta(t, 1.35, slow, 0.15, "√3 in the long run, less while little is known")
}

// The first drops of an addition are no noise: what they do counts too late to hide
// them.
func TestWhatBeginsToMoveIsNoNoise(t *testing.T) {
	h := hummed(0, 100, 3)
	was := h.louder()
	for range humLate {
		h = h.push(2)
	}
	assert.InDelta(t, was, h.louder(), 0.02)
}

// Drops that fall slowly for minutes make residuals that have a sign in common, and are
// no noise either.
func TestSlowDropsAreNoNoise(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 1))
	var h hum
	for range 300 {
		h = h.push(1.5 + rnd.NormFloat64())
	}
	assert.Less(t, h.louder(), 1.15)
}

// An electrode at rest whose noise takes some seconds to change has not moved.
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

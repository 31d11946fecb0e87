package sift

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// hummed is the correlation learned from so many residuals of an autoregression.
func hummed(r float64, n int, seed uint64) Hum {
	rnd := rand.New(rand.NewPCG(seed, 1))
	var h Hum
	z := 0.0
	for range n {
		z = r*z + math.Sqrt(1-r*r)*rnd.NormFloat64()
		h = h.Push(z)
	}
	return h
}

func TestCorrelationOfNoise(t *testing.T) {
	white, slow := 0.0, 0.0
	for seed := range uint64(200) {
		white += hummed(0, 120, seed).Louder() / 200
		slow += hummed(0.5, 120, seed).Louder() / 200
	}
	assert.Less(t, white, 1.03, "white noise is left as it is")
	assert.InDelta(t, 1.35, slow, 0.15, "√3 in the long run, less while little is known")
}

// The first drops of an addition are no noise: what they do counts too late to hide
// them.
func TestWhatBeginsToMoveIsNoNoise(t *testing.T) {
	h := hummed(0, 100, 3)
	was := h.Louder()
	for range humLate {
		h = h.Push(2)
	}
	assert.InDelta(t, was, h.Louder(), 0.02)
}

// Drops that fall slowly for minutes make residuals that have a sign in common, and are
// no noise either.
func TestSlowDropsAreNoNoise(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 1))
	var h Hum
	for range 300 {
		h = h.Push(1.5 + rnd.NormFloat64())
	}
	assert.Less(t, h.Louder(), 1.15)
}

// An electrode at rest whose noise takes some seconds to change has not moved.
// What was learned of noise is forgotten as one over e in a minute of readings: of noise with
// a correlation of 0.8 that becomes white 1/e of the sums is left then. Of z that is white the
// mean square of a difference is 2; of an autoregression 2(1−r) over one reading and 2(1−r²)
// over two (G. E. P. Box, G. M. Jenkins, Time Series Analysis, 1970, from memory), and the
// ratio of the sums tells the correlation.
func TestNoiseThatWasIsForgotten(t *testing.T) {
	const r, keep = 0.8, 1 - 1/60.0
	sum, got, was := [2]float64{}, 0.0, 0.0
	const runs = 400
	for seed := range uint64(runs) {
		rnd := rand.New(rand.NewPCG(seed, 4))
		var h Hum
		z := 0.0
		for range 400 {
			z = r*z + math.Sqrt(1-r*r)*rnd.NormFloat64()
			h = h.Push(z)
		}
		was += h.two / h.one / runs
		for range 60 + humLate {
			h = h.Push(rnd.NormFloat64())
		}
		sum[0], sum[1] = sum[0]+h.one/runs, sum[1]+h.two/runs
	}
	got = sum[1] / sum[0]
	left := math.Pow(keep, 60)
	one, two := left*2*(1-r)+(1-left)*2, left*2*(1-r*r)+(1-left)*2
	assert.InDelta(t, 1+r, was, 0.1)
	assert.InEpsilon(t, two/one, got, 0.04)
}

// A reading that swings with the stirrer, of which each tells the next, is noise as loud as can
// be; for the sum of such residuals three times as much is let pass at the most, whatever they do,
// so that a movement is found yet.
func TestAReadingThatSwings(t *testing.T) {
	var h Hum
	for i := range 300 {
		h = h.Push(2 * math.Sin(2*math.Pi*float64(i)/12))
	}
	assert.Greater(t, h.Louder(), 2.0, "√((1+0.6)/(1−0.6))")
	assert.Less(t, h.Louder(), 3.0, "√((1+0.8)/(1−0.8))")
}

// One reading far out is no noise of another kind: after white noise it changes next to nothing.
func TestOneWildResidualIsNoNoise(t *testing.T) {
	h := Hum{}
	rnd := rand.New(rand.NewPCG(11, 1))
	for range 300 {
		h = h.Push(rnd.NormFloat64())
	}
	was, clip := h, h
	for _, z := range []float64{40, 0, 0} {
		h = h.Push(z)
	}
	for _, z := range []float64{3, 0, 0} {
		clip = clip.Push(z)
	}
	for range humLate {
		h, clip, was = h.Push(0), clip.Push(0), was.Push(0)
	}
	assert.InDelta(t, clip.one, h.one, 1e-9, "as one of three standard deviations, which noise has once in 370")
	assert.Less(t, h.one, was.one+2*10)
}

// Ten readings of slow noise tell that it is slow, and little of how slow: a correlation of 0.8 makes
// sums of 10·2(1−r) = 4 and 10·2(1−r²) = 7.2, beside those of white noise that is thought of before.
// And what noise does in one reading of eighty, 2.5 standard deviations, counts whole.
func TestSomeReadingsOfSlowNoise(t *testing.T) {
	r := Hum{one: 4, two: 7.2}.correlation()
	assert.True(t, r > 0.01 && r < 0.12, "%.3f", r)
	r = Hum{one: 40, two: 72}.correlation()
	assert.True(t, r > 0.3 && r < 0.65, "%.3f after a hundred", r)
	push := func(z float64) float64 {
		var h Hum
		for _, z := range []float64{0, 0, z, 0, 0} {
			h = h.Push(z)
		}
		for range humLate {
			h = h.Push(0)
		}
		return h.one
	}
	assert.InEpsilon(t, 2*2.5*2.5, push(2.5), 0.15)
}

package probe

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/probe/sift"
)

// A stirrer that is set faster, a flickering display, a bar that swings: once the noise is
// many times what was learned, in the middle of an addition, the reading comes to rest all
// the same. It was on its way for ever.
func TestNoiseThatGrows(t *testing.T) {
	for _, c := range []struct {
		name   string
		noise  func(r *rand.Rand, t float64) float64
		within int // s after the drops
	}{
		{"white", func(r *rand.Rand, _ float64) float64 { return 0.02 * r.NormFloat64() }, 75},
		{"of two values", func(r *rand.Rand, _ float64) float64 { return 0.02 * float64(r.IntN(2)) }, 75},
		{"that swings", func(_ *rand.Rand, t float64) float64 { return 0.025 * math.Sin(2*math.Pi*t/8.3) }, 120},
	} {
		rested, sure := 0, 0
		const n = 20
		for seed := range uint64(n) {
			r := rand.New(rand.NewPCG(seed, 62))
			y := func(t float64) float64 {
				at := 5 - 0.8*math.Expm1(-math.Max(t-100, 0)/4)
				if t < 104 {
					return math.Round(1000*(at+0.001*r.NormFloat64())) / 1000
				}
				return math.Round(1000*(at+c.noise(r, t))) / 1000
			}
			k := pushed(Track(Unknown()).Resolve(0.001), 0, 104+c.within, y)
			e := k.Estimate(float64(104 + c.within))
			if !k.free {
				rested++
			}
			if math.Abs(e.End-5.8) < 0.05 && e.SD < 0.06 {
				sure++
			}
		}
		assert.GreaterOrEqual(t, rested, n*17/20, "noise %s: of %d", c.name, n)
		assert.GreaterOrEqual(t, sure, n*15/20, "noise %s: of %d", c.name, n)
	}
}

// What swings is taken for noise after a minute, and not before: slow drops stir, too.
func TestSwingsAfterAMinute(t *testing.T) {
	k := pushed(Track(Unknown()).Resolve(0.001), 0, 104, func(t float64) float64 {
		return 5 - 0.8*math.Expm1(-math.Max(t-100, 0)/4)
	})
	began, at := k.moves[0].From, 0.0
	for s := 105.0; at == 0 && s < 300; s++ {
		if k = k.Push(s, 5.6+0.025*math.Sin(2*math.Pi*s/8.3)); !k.free {
			at = s
		}
	}
	assert.InDelta(t, began+61, at, 4)
}

// The noise may double without that: a rest is found as it always was.
func TestRattleIsMuchMore(t *testing.T) {
	list := func(noise float64) (k Tracker, at int) {
		r := rand.New(rand.NewPCG(4, 64))
		k = pushed(Track(Unknown()).Resolve(0.001), 0, 60, func(float64) float64 { return 6 + 0.004*r.NormFloat64() })
		k = k.cutFree(60)
		for s := range 14 {
			if k.rattled(sift.Sample{T: 81 + float64(s), PH: 6 + noise*float64(1-2*(s%2))}) {
				return k, s
			}
		}
		return k, -1
	}
	_, at := list(2.0 * 0.004)
	assert.Equal(t, -1, at)
	k, at := list(3.2 * 0.004)
	assert.Equal(t, 13, at, "14 readings tell")
	assert.False(t, k.free)
}

// Nor within half a minute: bubbles and an electrode in the hand are over sooner.
func TestRattlesAfterHalfAMinute(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 64))
	k := pushed(Track(Unknown()).Resolve(0.001), 0, 60, func(float64) float64 { return 6 + 0.002*r.NormFloat64() })
	k = k.cutFree(60)
	for s := 61.0; k.free && s < 120; s++ {
		if k.rattled(sift.Sample{T: s, PH: 6 + 0.02*float64(1-2*(int(s)%2))}) {
			assert.InDelta(t, 90, s, 1.5)
		}
	}
	assert.False(t, k.free)
}

// cutFree is the tracker as a movement leaves it, the readings before forgotten.
func (k Tracker) cutFree(t float64) Tracker {
	k.cut(t)
	k.rattle = nil
	return k
}

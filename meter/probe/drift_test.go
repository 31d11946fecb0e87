package probe_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/probe"
)

// The drift of a reading is what its noise cannot do: a rise of 0.01 a second shows within
// some seconds, and noise of 0.003 or 0.03 shows as next to nothing.
func TestDriftIsWhatNoiseCannotDo(t *testing.T) {
	for _, noise := range []float64{0.001, 0.003, 0.03} {
		r := rand.New(rand.NewPCG(5, uint64(noise*1e4)))
		flat, rises := 0.0, 0.0
		for range 40 {
			k, up := probe.Track(probe.Unknown()).Resolve(0.001), probe.Track(probe.Unknown()).Resolve(0.001)
			for s := range 30 {
				e := noise * r.NormFloat64()
				k, up = k.Push(float64(s), 7+e), up.Push(float64(s), 7+0.01*float64(s)+e)
			}
			flat += k.Estimate(30).Drift / 40
			rises += up.Estimate(30).Drift / 40
		}
		assert.Less(t, flat, 0.01*noise, "noise %g", noise)
		if noise < 0.01 {
			assert.InDelta(t, 0.01, rises, 0.0015, "noise %g", noise)
		} else {
			assert.Greater(t, rises, 0.003, "noise %g", noise)
		}
	}
}

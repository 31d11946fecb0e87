package belief_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
)

// What a drop did is spoken of when it is far from the plan, and known to be.
func TestOddYield(t *testing.T) {
	for _, c := range []struct {
		ratio, sd float64
		odd       bool
	}{{1, 0.01, false}, {1.25, 0.02, false}, {1.35, 0.02, true}, {1 / 1.25, 0.02, false}, {1 / 1.35, 0.02, true}, {1.5, 0.2, false}, {1.5, 0.12, true}} {
		assert.Equal(t, c.odd, coach.Yield{Ratio: c.ratio, SD: c.sd}.Odd(), "%+v", c)
	}
}

// Drops that are larger than said show as that, whatever was thought of them before: three
// settled readings tell their ratio to a few per cent, and within two of its spreads.
func TestYieldsTellWhatADropDid(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 28))
	told, within := 0, 0
	for range 30 {
		v := coachtest.NewVirtual(r)
		v.Bench.Tolerance = 0.02
		k := math.Exp(r.NormFloat64() * 0.4)
		for i := range v.Strength {
			v.Strength[i] *= k
		}
		h, last, _ := v.Titrate(nil)
		if last.Do != coach.Stop || len(h.Additions) == 0 {
			continue
		}
		h.Observations = append(h.Observations, coach.Observation{After: len(h.Additions), PH: v.Reading(), SD: 0.005})
		rough := h
		rough.Noise = coach.Rough // a scale that is half a pH off changes what a drop seems to do
		require.Empty(t, v.Bench.Yields(rough))
		for _, y := range v.Bench.Yields(h) {
			if y.SD > 0.1 {
				continue
			}
			told++
			if is := v.Strength[y.Stock] * v.DropTrue; math.Abs(math.Log(y.Ratio/is)) < 2*math.Hypot(y.SD, 0.03) { // and the scatter of what was weighed
				within++
			}
		}
	}
	require.Greater(t, told, 15)
	assert.GreaterOrEqual(t, float64(within), 0.9*float64(told), "%d of %d", within, told)
}

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

// What a vague reading makes of a drop of which nothing is thought but that a factor of e
// either way is usual: 60 drops, 3.0 mmol by their label, did 2.5 times as much to 12.5 mmol of
// HEPES, on a reading known to 0.3 pH. There β = ln 10 · 12.5 mmol · 0.61 · 0.39 = 6.8 mmol per pH
// (Van Slyke, J. Biol. Chem. 52, 525, 1922), and the factor x that is likeliest obeys
// ln x = (2.5 − x) · x · (3.0 / (0.3 · 6.8))²: 2.33, which is not spoken of yet. Whoever thought
// less of labels would say 2.42 and speak of it, whoever thought more 1.85.
func TestAVagueReadingOfADrop(t *testing.T) {
	b, h := coachtest.Played(2.5, 60)
	h.Observations[0].SD, h.Observations[1].SD = 0.003, 0.3
	list := b.Yields(h)
	require.Len(t, list, 1)
	assert.InDelta(t, 2.33, list[0].Ratio, 0.04)
	assert.False(t, list[0].Odd(), "%+v", list[0])
	h.Observations[1].SD = 0.2
	assert.True(t, b.Yields(h)[0].Odd(), "on a better one it is")
}

package hands_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/hands"
)

// extremes are the least, the mean and the most of what a function is of many seeds.
func extremes(n int, f func(seed uint64) float64) (least, mean, most float64) {
	least, most = math.Inf(1), math.Inf(-1)
	for i := range n {
		x := f(uint64(i))
		least, most, mean = math.Min(least, x), math.Max(most, x), mean+x/float64(n)
	}
	return least, mean, most
}

// What is given is given whole, drop by drop and in order, the last of 2.5 drops a half one.
func TestEveryDropFallsOnce(t *testing.T) {
	for seed := range uint64(200) {
		g := hands.New(hands.Drip, seed).Give(100, 2.5)
		require.Len(t, g.Falls, 3)
		assert.InDeltaSlice(t, []float64{0.4, 0.4, 0.2}, []float64{g.Falls[0].Share, g.Falls[1].Share, g.Falls[2].Share}, 1e-12)
		assert.Less(t, g.Falls[0].T, g.Falls[1].T)
		assert.Less(t, g.Falls[1].T, g.Falls[2].T)
		poured := hands.New(hands.Drip, seed).Give(100, 0)
		sum := 0.0
		for _, f := range poured.Falls {
			sum += f.Share
		}
		assert.InDelta(t, 1, sum, 1e-12)
		assert.Equal(t, hands.New(hands.Drip, seed).Give(100, 2.5), g, "the same for the same seed")
	}
}

// Measured on recordings of titrations by hand: one to three drops a second, so that 16
// take 8 s and 40 take 20 in the mean; a pipette pours for some seconds.
func TestPaceOfHands(t *testing.T) {
	lasts := func(drops float64) func(uint64) float64 {
		return func(seed uint64) float64 {
			f := hands.New(hands.Drip, seed).Give(0, hands.Drops(drops)).Falls
			return f[len(f)-1].T - f[0].T
		}
	}
	least, mean, most := extremes(2000, lasts(16))
	assert.InDelta(t, 8, mean, 0.8)
	assert.InDelta(t, 15/3.0, least, 0.7)
	assert.InDelta(t, 15/1.0, most, 2)
	_, mean, _ = extremes(2000, lasts(40))
	assert.InDelta(t, 21, mean, 1.5)
	least, mean, most = extremes(2000, lasts(0))
	assert.InDelta(t, 2.6, mean, 0.2, "seven of eight parts of 3 s")
	assert.Greater(t, least, 1.3)
	assert.Less(t, most, 4.2)
}

// A person needs 1 to 4 s to begin, and puts it on record 1 to 10 s after the last drop; a
// careless one up to 12 s after it, and one in twenty times never (the late and the missing
// marks are measured).
func TestWhenItIsSaid(t *testing.T) {
	least, _, most := extremes(2000, func(seed uint64) float64 { return hands.New(hands.Drip, seed).Give(50, 6).Falls[0].T - 50 })
	assert.InDelta(t, 1, least, 0.05)
	assert.InDelta(t, 4, most, 0.05)
	forgotten := 0
	late := func(kind hands.Kind) func(uint64) float64 {
		return func(seed uint64) float64 {
			g := hands.New(kind, seed).Give(50, 6)
			if math.IsInf(g.Said, 1) {
				forgotten++
				return 5
			}
			return g.Said - g.Falls[5].T
		}
	}
	least, mean, most := extremes(2000, late(hands.Drip))
	assert.Zero(t, forgotten)
	assert.InDelta(t, 1, least, 0.05)
	assert.InDelta(t, 5.5, mean, 0.3)
	assert.InDelta(t, 10, most, 0.05)
	_, _, most = extremes(4000, late(hands.Careless))
	assert.InDelta(t, 12, most, 0.05)
	assert.InDelta(t, 200, forgotten, 60, "one in twenty of 4,000, four standard deviations")
}

// What is due is taken once; it is over when it has fallen and is on record.
func TestDue(t *testing.T) {
	g := hands.Giving{Falls: []hands.Fall{{T: 1, Share: 0.5}, {T: 2, Share: 0.5}}, Said: 5}
	assert.Empty(t, g.Due(0.9))
	assert.Equal(t, []hands.Fall{{T: 1, Share: 0.5}}, g.Due(1))
	assert.False(t, g.Over(9), "a drop has still to fall")
	assert.Len(t, g.Due(9), 1)
	assert.Empty(t, g.Due(9))
	assert.False(t, g.Over(4.9), "it is not on record yet")
	assert.True(t, g.Over(5))

	once := hands.New(hands.AtOnce, 1).Give(7, 40)
	assert.Equal(t, []hands.Fall{{T: 7, Share: 1}}, once.Due(7))
	assert.True(t, once.Over(7))
}

func TestParse(t *testing.T) {
	for name, want := range map[string]hands.Kind{"drip": hands.Drip, "at-once": hands.AtOnce} {
		kind, ok := hands.Parse(name)
		assert.True(t, ok)
		assert.Equal(t, want, kind)
	}
	_, ok := hands.Parse("careless")
	assert.False(t, ok, "nobody asks for it by name")
}

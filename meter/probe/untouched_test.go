package probe

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// hidden is what is known of before drops that fall from a second on, one a second, and move the
// reading of a simple sensor by way in all, when they are put on record; the beaker was at 5 before.
func hidden(since, drops int, way float64, ordered bool) (Given, Addition) {
	r := rand.New(rand.NewPCG(uint64(since), 12))
	y := func(t float64) float64 {
		gone := math.Max(0, math.Min((t-float64(since))/float64(drops), 1))
		return math.Round(1000*(5-way*gone+0.02*r.NormFloat64())) / 1000
	}
	k := pushed(Track(Unknown()).Resolve(0.001), 0, since, y)
	if ordered {
		k = k.Await(-1)
	}
	at := since + drops + 4
	k = pushed(k, since+1, at, y)
	a := Addition{Seq: 1, T: float64(at), From: math.NaN(), Step: -0.02, SD: 0.004, Take: perDrop * float64(drops)}
	_, g := k.Give(a)
	return g, a
}

const perDrop = 0.7 // s, as a rule

// Of an addition that does not show what was before it is what was known before its first drop can
// have fallen: the same as if the drops had done nothing. It was what the meter showed when it was put
// on record.
func TestBeforeAnOrderThatDoesNotShow(t *testing.T) {
	for _, drops := range []int{4, 12, 30} {
		n := 0
		for since := 100; since < 148; since += 4 {
			g, a := hidden(since, drops, 0.01, true)
			if none, _ := hidden(since, drops, 0, true); g.From == a.T && none.From == a.T {
				n++
				assert.InDelta(t, none.Before.End, g.Before.End, 0.001, "%d drops, ordered at %d s", drops, since)
				assert.Less(t, g.Before.SD, 0.026)
			}
		}
		assert.Greater(t, n, 4, "%d drops", drops)
	}
}

// Where there was no order they may have fallen for as long as so many take, and some seconds to
// say so: what was known before that is told, and half a minute back there mostly is something.
func TestBeforeWhatNobodyAskedFor(t *testing.T) {
	known, n := 0, 0
	for since := 100; since < 148; since += 2 {
		g, a := hidden(since, 14, 0.01, false)
		none, _ := hidden(since, 14, 0, false)
		if g.From != a.T {
			continue
		}
		n++
		if math.Abs(none.Before.End-g.Before.End) < 0.001 {
			known++
		} else {
			assert.Greater(t, g.Before.SD, math.Abs(a.Step)+a.SD, "%d s", since)
		}
	}
	assert.GreaterOrEqual(t, known, 15, "of %d", n)
}

// No reading is from before drops that have fallen since longer than there are readings: then
// it is what the meter shows, give or take what they are expected to do.
func TestBeforeTheFirstReading(t *testing.T) {
	for _, seconds := range []int{12, 24, 30} {
		k := pushed(Track(Unknown()).Resolve(0.001), 0, seconds, level(5))
		now := k.Estimate(float64(seconds))
		_, g := k.Give(Addition{Seq: 1, T: float64(seconds), From: math.NaN(), Step: -0.3, SD: 0.05, Take: 14})
		assert.Equal(t, now.End, g.Before.End, "%d s", seconds)
		assert.InEpsilon(t, math.Hypot(now.SD, 0.35), g.Before.SD, 1e-9)
	}
}

// Nor from before a first drop that was told a minute later.
func TestBeforeAFirstDropToldLongAfter(t *testing.T) {
	k := pushed(Track(Unknown()).Resolve(0.001), 0, 150, level(5))
	for ago, known := range map[float64]bool{10: true, 90: false} {
		_, g := k.Give(Addition{Seq: 1, T: 150, From: 150 - ago, Step: -0.3, SD: 0.05})
		require.Equal(t, 150-ago, g.From)
		assert.Equal(t, known, g.Before.SD < 0.35, "%g s ago: ± %.3f", ago, g.Before.SD)
	}
}

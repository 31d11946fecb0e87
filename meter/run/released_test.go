package run_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
)

// A display that was on hold while drops fell, and was said to be well, is released: it goes at
// once to where the drops have led, which is no cracked bulb.
func TestADisplayThatIsReleased(t *testing.T) {
	for _, aim := range []float64{7.0, 7.1, 7.2} { // so that it goes to about 7
		p := phosphate()
		p.Target.PH = num(aim)
		b := newStand(t, p, nil)
		held, free := math.NaN(), false
		b.shows = func(p *stand) float64 {
			if free {
				return math.NaN()
			}
			if p.given < 2 {
				held = p.sim.Shown()
			}
			return held
		}
		b.until("stuck")
		require.NoError(t, b.keep.Take(journal.Event{T: b.sec, Kind: journal.Confirmed}))
		b.second()
		free = true
		for range 90 {
			v := b.second()
			require.NotEqual(t, coach.Faulty, v.Advice.Reason, "%.1f: %s, %s", aim, v.Sentence(), v.Why())
		}
		assert.InDelta(t, b.sim.Shown(), b.keep.Look(b.sec).Settling.End, 0.1)
	}
}

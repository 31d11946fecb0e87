package run_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/view"
)

// brokenOff is a run that ends with an order in sight, of which so many drops fall while
// nobody looks, and that is taken up again.
func brokenOff(t *testing.T, fallen float64, begun bool) (p *stand, was, v view.View) {
	p, was = ordered(t, nil)
	if begun {
		require.NoError(t, p.keep.Take(journal.Event{T: p.sec, Kind: journal.Dosing}))
	}
	if fallen > 0 {
		require.NoError(t, p.sim.Dispense(was.Titrant, fallen, 0))
	}
	p.sec += 30
	require.NoError(t, p.keep.Take(journal.Event{T: p.sec, Kind: journal.Gap, Gap: &journal.GapPayload{Seconds: 30}}))
	for range 40 {
		if v = p.second(); v.Advice.Do != coach.Wait {
			break
		}
	}
	return p, was, v
}

// What was ordered when a run was broken off, and was given since, is asked about when it is
// taken up again: it was ordered once more, and stood on no record.
func TestAnOrderOutlivesTheProgram(t *testing.T) {
	p, was, v := brokenOff(t, 0, false)
	require.Equal(t, coach.Add, v.Advice.Do, "nothing has moved: %s", v.Sentence())
	assert.InEpsilon(t, was.Advice.Drops, v.Advice.Drops, 0.1)
	for range 30 { // and it is carried out as any other
		p.second()
	}
	p.pours(v, v.Advice.Drops, false)
	assert.NotNil(t, p.second().Falling)

	_, was, v = brokenOff(t, 0, true)
	require.Equal(t, coach.Unsaid, v.Advice.Reason, "somebody had begun: %s", v.Sentence())
	for _, share := range []float64{1, 0.4} {
		t.Run(fmt.Sprint(share), func(t *testing.T) {
			p, was, v := brokenOff(t, share*was.Advice.Drops, false)
			require.Equal(t, coach.Unsaid, v.Advice.Reason, v.Sentence())
			assert.Equal(t, was.Advice.Drops, v.Advice.Drops)
			for range 15 { // what the reading tells of the amount is known once its end is
				v = p.second()
				require.NotNil(t, v.Falling, v.Sentence())
				if n := v.Falling.Like; n > 0 {
					assert.InEpsilon(t, share*was.Advice.Drops, n, 0.3, "at %.0f s: %s", p.sec, v.Why())
				}
			}
			assert.Equal(t, share < 0.5, v.Falling.Like > 0, "quite another amount: %s", v.Why())
			p.notes(was)
			v = p.second()
			require.Len(t, v.Entries, 1)
			assert.InDelta(t, was.Settling.End, v.Entries[0].Before.End, 0.02, "what it was ordered on")
		})
	}
	p, _, _ = brokenOff(t, was.Advice.Drops, false)
	require.NoError(t, p.keep.Take(journal.Event{T: p.sec, Kind: journal.Declined}))
	for range 40 {
		v = p.second()
		require.NotEqual(t, coach.Unsaid, v.Advice.Reason, "it was answered")
	}
	assert.Equal(t, coach.Add, v.Advice.Do, "on the reading as it is: %s", v.Sentence())
}

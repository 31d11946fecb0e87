package run_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/view"
)

// cooling is a beaker of Tris that cools in a room, read by a meter that sends its
// temperature: without anybody's doing its pH goes up by 0.028 a degree (CRC Handbook,
// from memory).
type cooling struct {
	*walker
	ph, temp float64
	heated   bool    // it is on a plate, and goes by
	rate     float64 // °C a second
}

func (c *cooling) seconds(n int) (v view.View) {
	c.t.Helper()
	const room, tau = 8.0, 600.0
	for range n {
		was := c.temp
		if c.heated {
			c.temp += c.rate
		} else {
			c.temp += (room - c.temp) / tau
		}
		c.ph -= 0.028 * (c.temp - was)
		c.sec++
		c.y = c.ph + (c.y-c.ph)*math.Exp(-1/3.0)
		y, temp := math.Round(1000*(c.y+0.002*c.r.NormFloat64()))/1000, math.Round(10*c.temp)/10
		require.NoError(c.t, c.keep.Take(journal.Event{T: c.sec, Kind: journal.Read, Reading: &journal.Reading{PH: &y, Decimals: 3, TempC: &temp}}))
		v = c.keep.Look(c.sec)
		require.NotEqual(c.t, coach.Check, v.Advice.Do, "at %g s: %v %v", c.sec, v.Advice, v.Spotted)
	}
	return v
}

// A beaker that cools accuses nobody, whatever is waited for: each reading counts at the
// temperature that it was taken at, and its drift is neither an electrode on its way nor
// drops that nobody has put on record.
func TestABeakerThatCools(t *testing.T) {
	c := &cooling{walker: walkingTris(t), ph: 10.15, temp: 30}
	c.y = c.ph
	v := c.seconds(40)
	for i := range 3 {
		for range 200 {
			if v.Advice.Do == coach.Add {
				break
			}
			v = c.seconds(1)
		}
		require.Equal(t, coach.Add, v.Advice.Do, "%d: %v", i, v.Advice)
		order, step := v.Advice, v.Advice.After-v.Settling.End
		v = c.seconds(100) // somebody is called away
		require.Equal(t, coach.Add, v.Advice.Do, "the order stands: %v", v.Advice)
		c.ph += step
		c.seconds(4)
		a, err := c.keep.State.Addition("HCl 1 M", order.Drops, 0)
		require.NoError(t, err)
		require.NoError(t, c.keep.Take(journal.Event{T: c.sec, Kind: journal.Added, Added: &a}))
		for k := range 120 {
			v = c.seconds(1)
			if k < 40 {
				continue
			}
			at := c.ph - 0.028*(float64(v.BenchTemp)-c.temp)
			assert.InDelta(t, at, v.Settling.End, 0.02, "%g s", c.sec)
		}
		if v.Advice.Do == coach.Stop {
			break
		}
	}
	first := c.keep.State.History().Observations[0]
	assert.InDelta(t, 10.15+0.028*(30-float64(v.BenchTemp)), first.PH, 0.04, "what was read first, as it would be now")
}

package coach_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/chem/coach/coachtest"
)

// TestRoughMeterIsDosedWarily: and the other way round, on the same readings. A belief of
// one kind of meter is not taken for that of another.
func TestRoughMeterIsDosedWarily(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 1))
	fewer, more, played := 0, 0, 0
	for range 40 {
		v := coachtest.NewVirtual(r)
		y := v.Reading()
		first := v.Bench.Advise(coach.Request{Now: coachtest.On(y)})
		if first.Do != coach.Add {
			continue
		}
		v.Add(first)
		h := coach.History{Additions: []coach.Addition{{Stock: first.Stock, Volume: first.Volume, Drops: first.Drops}}, Observations: []coach.Observation{{PH: y, SD: 0.005}}}
		y = v.Reading()
		drops := map[coach.Noise]float64{}
		for _, n := range []coach.Noise{coach.Unheard, coach.Quiet, coach.Rough} {
			h.Noise = n
			a := v.Bench.Advise(coach.Request{History: h, Now: coachtest.On(y)})
			if a.Do == coach.Add && a.Stock == first.Stock {
				drops[n] = a.Drops
			}
		}
		if len(drops) < 3 {
			continue
		}
		played++
		if drops[coach.Rough] < drops[coach.Unheard] {
			fewer++
		}
		if drops[coach.Quiet] > drops[coach.Unheard] {
			more++
		}
	}
	require.Greater(t, played, 15)
	assert.Greater(t, fewer, played/4, "of %d", played)
	assert.Greater(t, more, played/5, "of %d", played)
}

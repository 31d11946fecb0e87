package calib_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/calib/walk"
)

// When a value is taken by itself: as soon as it is known as well as the bottle says
// (±0.02 on the label, 0.010 as a standard deviation); from a minute on, which is the
// patience of a person with a beaker, when it is known to 0.03, and no later; and where
// it does not come to that it is asked about after two and a half minutes.
func TestWhenAValueIsTaken(t *testing.T) {
	var soon, later, times, asked []float64
	for seed := range uint64(36) {
		s := newStand(80000+seed, "mv")
		measured(s, []string{"usual", "poor", "noisy"}[seed%3])
		if seed%9 == 8 {
			s.g.noise = 30 // never
		}
		p := walk.NewProcedure(choices(t, "7.00"), 25, wall)
		s.lift(t, p)
		c, _, _ := p.Current()
		s.g.in, s.g.walk = pool{ph: s.truth(c)}, 0
		p.Ready(s.clock)
		since := s.clock
		s.pass(t, p, 400, true)
		took := s.clock - since
		if p.Stage() == walk.Ask {
			asked = append(asked, took)
			continue
		}
		points, _ := p.Points()
		require.Len(t, points, 1)
		switch sd := points[0].SD; {
		case took < 60:
			soon = append(soon, sd)
		case took < 140:
			later, times = append(later, sd), append(times, took)
		}
	}
	t.Logf("soon %.4f\nlater %.4f\nat %.1f\nasked %.1f", soon, later, times, asked)
	most := func(list []float64) float64 { return quantile(list, 1) }
	require.NotEmpty(t, soon)
	require.NotEmpty(t, later)
	require.NotEmpty(t, asked)
	assert.LessOrEqual(t, most(soon), 0.0101)
	assert.Greater(t, most(soon), 0.0080, "it does not wait for more")
	assert.LessOrEqual(t, most(later), 0.0301)
	assert.Greater(t, most(later), 0.0215, "it does not wait for more")
	assert.Less(t, quantile(times, 0), 64.0, "some are taken as soon as the minute is over")
	assert.InDelta(t, 151, quantile(asked, 0), 3)
}

package calib_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/walk"
)

// A late part of a tenth is half a pH from pH 8.5 to 4, and no reason to wait: what stands in 4.01
// in place of 7.00 is asked about within half a minute, which took 43 to 81 s.
func TestALatePartHidesNoWrongBeaker(t *testing.T) {
	for _, tc := range []struct {
		late, from float64
		sends      string
	}{{40, 6, "mv"}, {70, 6, "mv"}, {70, 8.5, "ph"}, {40, 8.5, "mv"}} {
		r := rand.New(rand.NewPCG(0, 3))
		s := &stand{r: r, b: &box{sends: tc.sends, digits: 1, phDigits: 2, every: 1, temp: true, ownSlope: 1}, patience: 400,
			g: &glass{r: r, slope: 0.98, offset: 4, film: 0.6, fast: 2.5, late: tc.late, share: 0.1, noise: 0.1, tempC: 22}}
		s.g.soaked(tc.from)
		p := walk.NewProcedure(choices(t, "7.00", "10.01"), 22, wall)
		s.pass(t, p, 3, false)
		s.g.in = pool{ph: 4}
		s.pass(t, p, 2, false)
		p.Ready(s.clock)
		from := s.clock
		require.True(t, s.pass(t, p, 300, true))
		require.Equal(t, walk.Ask, p.Stage())
		assert.Contains(t, p.Why(), "it reads as 4.01 does: is the electrode in the beaker of 7.00")
		assert.Less(t, s.clock-from, 26.0, "%+v", tc)
	}
}

// An electrode that follows in 2.5 s and has a late part of a tenth is no slow glass, also where
// Enter is pressed when all but the late part is over; one of 30 s is, and one that is
// seen from the start keeps its time constant.
func TestALatePartIsNoSlowGlass(t *testing.T) {
	for _, tc := range []struct {
		fast, share, late, before float64
		level                     calib.Level // of what is said of its speed; empty for nothing
		seen                      bool        // the way, and with it how fast it is
	}{
		{2.5, 0.1, 40, 20, calib.Note, false}, {2.5, 0.1, 40, 12, "", false}, {2.5, 0.05, 60, 20, "", false},
		{2.5, 0.1, 40, 2, "", true}, {3, 0.02, 100, 2, "", true},
		{32, 0.02, 100, 2, calib.Remark, true}, {32, 0.02, 100, 15, calib.Remark, true},
	} {
		r := rand.New(rand.NewPCG(3, 3))
		s := &stand{r: r, b: &box{sends: "mv", digits: 1, every: 1, temp: true, ownSlope: 1}, patience: 400,
			g: &glass{r: r, slope: 0.98, offset: 4, film: 0.6, fast: tc.fast, late: tc.late, share: tc.share, noise: 0.1, tempC: 22}}
		s.g.soaked(6)
		p := walk.NewProcedure(choices(t, "7.00", "10.01"), 22, wall)
		for p.Stage() != walk.Done {
			s.g.in = pool{ph: 6}
			s.pass(t, p, 8, false)
			c, _, _ := p.Current()
			ph, err := c.Standard.PH(22)
			require.NoError(t, err)
			s.g.in = pool{ph: ph}
			s.pass(t, p, tc.before, false)
			p.Ready(s.clock)
			require.True(t, s.pass(t, p, 400, true))
			require.NotEqual(t, walk.Ask, p.Stage(), p.Why())
		}
		points, _ := p.Points()
		c, err := calib.Judge(about(), points, nil)
		require.NoError(t, err)
		f, _ := finding(c, calib.CodeSlow)
		assert.Equal(t, tc.level, f.Level, "%+v: %s", tc, f.Text)
		assert.Equal(t, tc.seen, c.TauS > 0, "%+v: %g s", tc, c.TauS)
		if tc.level == calib.Note {
			assert.Contains(t, f.Text, "only the last part of the way was seen")
			assert.NotContains(t, f.Text, "clean")
		}
	}
}

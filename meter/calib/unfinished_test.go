package calib_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib/nernst"
	"example.org/halfdrop/meter/calib/walk"
)

// A calibration that was broken off after its first standard and gone on with ends
// where it would have ended: what the second dip teaches of the late part still
// reaches the first.
func TestGoOnAfterBreakingOff(t *testing.T) {
	off, moved := 0, 0
	const n = 10
	for seed := range uint64(n) {
		s := newStand(9000+seed, "mv")
		s.g.share, s.g.late, s.g.fast, s.g.noise = between(s.r, 0.03, 0.06), between(s.r, 60, 160), between(s.r, 1, 6), between(s.r, 0.1, 0.4)
		s.g.soaked(between(s.r, 4, 7))
		s.b.every, s.b.tempErr = 1, 0
		p := walk.NewProcedure(choices(t, "7.00", "4.01"), 25, wall)
		dipIn(t, s, p)
		before, _ := p.Points()
		require.Len(t, before, 1)

		u, ok := p.Unfinished("E7")
		require.True(t, ok)
		line, err := u.Encode()
		require.NoError(t, err)
		u, err = walk.ReadUnfinished(line)
		require.NoError(t, err)

		s.g.in = pool{ph: 5} // ten minutes in the storage solution
		s.g.to(s.clock + 600)
		begun := wall(s.clock + 600) // another program, whose seconds begin anew
		s.g.t, s.clock, s.next = 0, 0, 0
		again := walk.NewProcedure(choices(t, "7.00", "4.01"), 25, func(x float64) time.Time { return begun.Add(time.Duration(x * float64(time.Second))) })
		assert.True(t, u.Fresh(begun))
		assert.Equal(t, "10 min", u.Age(begun))
		require.NoError(t, again.GoOn(u, 0))
		c, number, of := again.Current()
		assert.Equal(t, "4.01 2 2", c.Standard.Name+" "+string(rune('0'+number))+" "+string(rune('0'+of)))
		dipIn(t, s, again)
		require.Equal(t, walk.Done, again.Stage())
		points, _ := again.Points()
		require.Len(t, points, 2)
		if math.Abs(*points[0].MV-*before[0].MV) > 0.02 {
			moved++
		}
		result := judged(t, nil, points...)
		if math.Abs(result.SlopePct-100*s.g.slope) > 2*result.SlopeSD {
			off++
		}
	}
	assert.LessOrEqual(t, off, 1, "slopes beyond two claimed spreads")
	assert.Greater(t, moved, n/2, "the second dip taught the first nothing")
}

// dipIn leads an electrode through one standard.
func dipIn(t *testing.T, s *stand, p *walk.Procedure) {
	t.Helper()
	s.lift(t, p)
	c, _, _ := p.Current()
	s.g.in, s.g.walk = pool{ph: s.truth(c)}, 0
	s.pass(t, p, 1, false)
	p.Ready(s.clock)
	s.pass(t, p, 400, true)
	if p.Stage() == walk.Ask {
		require.NoError(t, p.Accept(s.clock))
	}
}

// What was accepted goes first, with its lot; what is left keeps its order.
func TestGoOnKeepsTheOrder(t *testing.T) {
	u := broken(t, "7.00")
	p := walk.NewProcedure(choices(t, "10.01", "7.00", "4.01"), 25, wall)
	require.NoError(t, p.GoOn(u, 0))
	var names []string
	for _, c := range p.Choices() {
		names = append(names, c.Standard.Name)
	}
	assert.Equal(t, []string{"7.00", "10.01", "4.01"}, names)
	_, number, of := p.Current()
	assert.Equal(t, []int{2, 3}, []int{number, of})

	assert.ErrorIs(t, walk.NewProcedure(choices(t, "4.01", "10.01"), 25, wall).GoOn(u, 0), walk.ErrUnlike)
	check := choices(t, "4.01", "10.01", "7.00")
	check[2].Check = true
	assert.ErrorIs(t, walk.NewProcedure(check, 25, wall).Fits(u), walk.ErrUnlike, "a check is no point of the line")

	all := walk.NewProcedure(choices(t, "7.00"), 25, wall)
	require.NoError(t, all.GoOn(u, 0))
	assert.Equal(t, walk.Done, all.Stage(), "all had been read; what failed was to keep them")
}

// broken is a calibration that was broken off after some standards, read by hand.
func broken(t *testing.T, names ...string) walk.Unfinished {
	t.Helper()
	p := walk.NewProcedure(choices(t, names...), 25, wall)
	for i, c := range p.Choices() {
		ph, err := c.Standard.PH(25)
		require.NoError(t, err)
		mv := math.Round(10*nernst.MV(ph, chem.Celsius(25))) / 10
		require.NoError(t, p.Type(float64(60*i), meter.Reading{Quantity: meter.Millivolt, Value: mv, Decimals: 1}, true))
	}
	u, ok := p.Unfinished("")
	require.True(t, ok)
	return u
}

// An hour old it is not offered.
func TestUnfinishedGrowsOld(t *testing.T) {
	u := broken(t, "7.00")
	for d, fresh := range map[time.Duration]bool{0: true, 59 * time.Minute: true, 61 * time.Minute: false, -10 * time.Minute: true, -61 * time.Minute: false} {
		assert.Equal(t, fresh, u.Fresh(u.At.Add(d)), d)
	}
	_, ok := walk.NewProcedure(choices(t, "7.00"), 25, wall).Unfinished("")
	assert.False(t, ok, "nothing was accepted")
}

// A meter that sends something else than before makes no line with what was read.
func TestGoOnWantsTheSameReadings(t *testing.T) {
	u := broken(t, "7.00")
	p := walk.NewProcedure(choices(t, "7.00", "4.01"), 25, wall)
	require.NoError(t, p.GoOn(u, 0))
	_, err := p.Push(1, meter.Reading{Quantity: meter.PH, Value: 4.0, Decimals: 2})
	assert.ErrorIs(t, err, walk.ErrSends)
	_, err = p.Push(1, meter.Reading{Quantity: meter.PH, Value: 4.0, Decimals: 2, MV: 170, HasMV: true})
	assert.NoError(t, err, "it sends both")
	assert.ErrorIs(t, p.Type(2, meter.Reading{Quantity: meter.PH, Value: 4.0, Decimals: 2}, true), walk.ErrSends)
	assert.NoError(t, p.Type(2, meter.Reading{Quantity: meter.Millivolt, Value: 176, Decimals: 0}, true))
}

// What cannot have been kept by Encode is refused, and nothing panics.
func TestUnfinishedDamaged(t *testing.T) {
	line, err := broken(t, "7.00").Encode()
	require.NoError(t, err)
	for i := range line[:len(line)-2] {
		_, err := walk.ReadUnfinished(line[:i])
		assert.ErrorIs(t, err, walk.ErrDamaged)
	}
	for _, text := range []string{"{}", "null", "[]", `{"format":1,"at":"2026-01-01T00:00:00Z","dips":[]}`,
		`{"format":1,"at":"2026-01-01T00:00:00Z","dips":[{"point":{"standard":"7.77","set":"technical","mv":1},"sent_mv":true}]}`,
		`{"format":1,"at":"2026-01-01T00:00:00Z","dips":[{"point":{"standard":"7.00","set":"technical"},"sent_mv":true}]}`,
		`{"format":1,"at":"2026-01-01T00:00:00Z","dips":[{"point":{"standard":"7.00","set":"technical","mv":1},"sent_mv":true,"course":[[0,1,1]]}]}`,
		`{"format":1,"at":"2026-01-01T00:00:00Z","dips":[{"point":{"standard":"7.00","set":"technical","mv":1},"sent_mv":true,"course":[[0,1,1],[1,1,1],[1,1,1],[2,1,1],[3,1,1]]}]}`,
		`{"format":2,"at":"2026-01-01T00:00:00Z","dips":[{"point":{"standard":"7.00","set":"technical","mv":1},"sent_mv":true}]}`} {
		_, err := walk.ReadUnfinished([]byte(text))
		assert.ErrorIs(t, err, walk.ErrDamaged, text)
	}
}

package walk_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/nernst"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/meter/calib/walk"
)

const warm = chem.Celsius(22)

// during is a check in 7.00 and 4.01.
func during(t *testing.T) *walk.Procedure {
	t.Helper()
	var list []standards.Standard
	for _, name := range []string{"7.00", "4.01"} {
		s, err := standards.Find(name, standards.Technical)
		require.NoError(t, err)
		list = append(list, s)
	}
	return walk.During(list, warm, 0.02, time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC), nil)
}

// shows is what an electrode of 97 % and +5 mV shows some seconds after it was put into a
// liquid of a pH, coming from 60 mV higher.
func shows(ph, since float64) meter.Reading {
	mv := 5 + 0.97*nernst.MV(ph, warm) + 60*math.Exp(-since/4)
	return meter.Reading{Quantity: meter.Millivolt, Value: math.Round(mv*10) / 10, Decimals: 1, HasTemp: true, TempC: float64(warm)}
}

// The states of a run share a procedure: led by changed copies it comes to the same points
// as one that is changed itself, and what an earlier state holds stays as it was.
func TestACopyLeavesTheProcedureAsItWas(t *testing.T) {
	itself, copied := during(t), during(t)
	type moment struct {
		stage walk.Stage
		taken []calib.Point
		now   walk.Estimate
	}
	look := func(p *walk.Procedure) (m moment) {
		m.stage = p.Stage()
		if g := p.Gather(); g != nil {
			m.now = g.Latest()
		}
		points, _ := p.Points()
		for _, x := range points { // what a later dip teaches is written into them
			mv := *x.MV
			x.MV = &mv
			m.taken = append(m.taken, x)
		}
		return m
	}
	var states []*walk.Procedure
	var before []moment
	keep := func() { states, before = append(states, copied), append(before, look(copied)) }
	now := 0.0
	for copied.Stage() == walk.Immerse {
		c, _, _ := copied.Current()
		ph, err := c.Standard.PH(warm)
		require.NoError(t, err)
		keep()
		itself.Ready(now)
		copied = copied.Put(now)
		for s := 1.0; s <= 300 && copied.Stage() == walk.Settle; s++ {
			now++
			keep()
			_, err := itself.Push(now, shows(ph, s))
			require.NoError(t, err)
			_, err = copied.Pushed(now, shows(ph+1, s)) // another future, that is given up
			require.NoError(t, err)
			next, err := copied.Pushed(now, shows(ph, s))
			require.NoError(t, err)
			_, err = copied.Pushed(now, shows(ph-1, s))
			require.NoError(t, err)
			copied = next
		}
	}
	want, _ := itself.Points()
	got, _ := copied.Points()
	require.Len(t, got, 2, "both were taken")
	assert.Equal(t, want, got)
	for i, p := range got {
		assert.InDelta(t, 5+0.97*nernst.MV(p.PH, warm), *p.MV, 0.5, "point %d", i)
	}
	for i, p := range states {
		require.Equal(t, before[i], look(p), "state %d", i)
	}
}

// Accepting early and values that were typed are changes of a copy, too.
func TestAcceptedAndTypedOnACopy(t *testing.T) {
	p := during(t).Put(0)
	for s := 1.0; s <= 12; s++ {
		var err error
		p, err = p.Pushed(s, shows(7.02, s))
		require.NoError(t, err)
	}
	next, err := p.Accepted(13)
	require.NoError(t, err)
	points, _ := next.Points()
	assert.Len(t, points, 1)
	points, _ = p.Points()
	assert.Empty(t, points)
	assert.Equal(t, walk.Settle, p.Stage())

	first := during(t).Put(0)
	reading := shows(7.02, 60)
	typed, err := first.Typed(60, reading, true)
	require.NoError(t, err)
	points, _ = typed.Points()
	assert.Len(t, points, 1, "a value that is typed is taken at once")
	points, _ = first.Points()
	assert.Empty(t, points)
}

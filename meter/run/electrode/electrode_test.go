package electrode_test

import (
	"encoding/json"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/standards"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run/electrode"
	"example.org/halfdrop/meter/run/runtest"
)

var nine = time.Date(2031, 5, 4, 9, 0, 0, 0, time.UTC)

// mv is a reading in millivolts, ph one of pH, and both of a meter that sends both.
func mv(x float64) *journal.Reading { return &journal.Reading{MV: &x, Decimals: 1} }
func ph(x float64) *journal.Reading { return &journal.Reading{PH: &x, Decimals: 2} }
func both(x, y float64) *journal.Reading {
	return &journal.Reading{PH: &x, MV: &y, Decimals: 2}
}

// calibrated is what is known of a calibration in 4.01 and 7.00, in mV.
func calibrated(t *testing.T, mv4, mv7 float64) electrode.Line {
	t.Helper()
	var points []calib.Point
	for name, at := range map[string]float64{"4.01": mv4, "7.00": mv7} {
		std, err := standards.Find(name, standards.Technical)
		require.NoError(t, err)
		p, err := calib.NewPoint(std, 25)
		require.NoError(t, err)
		p.MV = runtest.Num(at)
		points = append(points, p)
	}
	c, err := calib.Judge(calib.About{At: nine}, points, nil)
	require.NoError(t, err)
	payload, err := json.Marshal(c)
	require.NoError(t, err)
	var l electrode.Line
	require.NoError(t, l.Calibrate(payload))
	return l
}

// Which calibration counts hangs on what the meter sends; a null is told, and is none.
func TestWhatThePHRestsOn(t *testing.T) {
	l := calibrated(t, 2.99*59.16, 0)
	require.NotNil(t, l.InUse(), "likely, before the first reading")
	assert.True(t, l.Heard(both(4.9, 122)))
	assert.False(t, l.Heard(both(4.8, 125)), "the same kind again")
	x, ok := l.PH(both(4.9, 59.16), 25)
	require.True(t, ok)
	assert.InDelta(t, 6.0, x, 0.01, "of the calibration, and not of the meter")

	assert.True(t, l.Heard(ph(4.9)))
	assert.Nil(t, l.InUse())
	_, bad := l.Misfit()
	assert.True(t, bad, "a line in mV says nothing of a pH")
	assert.True(t, math.IsNaN(l.SpreadAt(7, 25)))
	assert.Equal(t, 0.02, l.Working(0.02, 7, 25))

	require.NoError(t, l.Calibrate(json.RawMessage("null")))
	assert.True(t, l.Told())
	assert.Equal(t, "not calibrated", l.Basis(nine))
	for said, r := range map[string]*journal.Reading{"what the meter was calibrated with": ph(7), "the pH of an ideal electrode": mv(0)} {
		l.Heard(r)
		list := l.Fitness(calib.Use{At: nine, Target: 6, Tolerance: 0.02})
		require.Len(t, list, 1)
		assert.Contains(t, list[0].Text, said)
	}
}

func TestFineness(t *testing.T) {
	var l electrode.Line
	digits, step := l.Fineness(ph(7), 1)
	assert.Equal(t, 2, digits)
	assert.InDelta(t, 0.01, step, 1e-9)
	digits, step = l.Fineness(mv(-40), 0)
	assert.Equal(t, 2, digits, "a tenth of a millivolt is worth two")
	assert.InDelta(t, 0.1/59.16, step, 1e-9)
	l = calibrated(t, 2.99*59.16, 0)
	digits, step = l.Fineness(both(7, 0), 1)
	assert.Equal(t, 2, digits, "those of its pH")
	assert.InDelta(t, 0.1/59.16, step, 1e-9, "of its mV, which count")
}

// The tolerance of the coach is that of the plan less what the calibration may be off by,
// 1.645 standard deviations on one side for 95 %, and half of it at least.
func TestWorkingTolerance(t *testing.T) {
	l := calibrated(t, 2.99*59.16, 0)
	sd := l.SpreadAt(5.5, 25)
	require.Positive(t, sd)
	assert.InDelta(t, 0.1-1.645*sd, l.Working(0.1, 5.5, 25), 1e-9)
	assert.InDelta(t, sd/2, l.Working(sd, 5.5, 25), 1e-9)
}

// Standards on both sides of the aim go first, of those of the calibration.
func TestStandards(t *testing.T) {
	l := calibrated(t, 2.99*59.16, 0)
	var names []string
	for _, st := range l.Standards(6.2, 25) {
		names = append(names, st.Name)
	}
	assert.Equal(t, []string{"7.00", "4.01"}, names)
	_, err := l.Named("7.00, 5.55")
	assert.Error(t, err)
}

// A check of two standards from out to back; what it finds counts for the line.
func TestACheck(t *testing.T) {
	l := calibrated(t, 2.99*59.16, 0)
	l.Heard(mv(0))
	none := electrode.Check{}
	require.ErrorIs(t, none.Step(0, journal.StepIn), electrode.ErrNotAway)
	list, err := l.Named("7.00")
	require.NoError(t, err)
	_, err = l.Begin(nil, 25, 0.02, nine)
	require.ErrorContains(t, err, "one standard to 3, not in 0")
	a, err := l.Begin(electrode.ForJournal(list), 25, 0.02, nine)
	require.NoError(t, err)
	require.True(t, a.Reading())
	require.ErrorContains(t, a.Step(1, journal.StepTake), "nothing has been read")
	require.NoError(t, a.Step(2, journal.StepIn))
	for i := range 60 {
		require.NoError(t, a.Read(float64(3+i), mv(6+0.1*float64(i%2)))) // 0.1 pH off
	}
	if !a.Back() {
		require.NoError(t, a.Step(64, journal.StepTake))
	}
	require.True(t, a.Back())
	payload, ok := a.Judge(&l, calib.Use{At: nine, Target: 6, Tolerance: 0.02})
	require.True(t, ok)
	require.NoError(t, a.Judged(&l, payload))
	assert.InDelta(t, -0.1, l.Verified().Shift, 0.02)
	_, ok = a.Judge(&l, calib.Use{})
	assert.False(t, ok, "it is on record once")
	assert.NotEmpty(t, l.Stops(l.Fitness(calib.Use{At: nine, Target: 6, TempC: 25, Tolerance: 0.02, Final: true, Present: 6})))
	l.PassOver(l.Fitness(calib.Use{At: nine, Target: 6, TempC: 25, Tolerance: 0.02, Final: true, Present: 6}))
	assert.Empty(t, l.Stops(l.Fitness(calib.Use{At: nine, Target: 6, TempC: 25, Tolerance: 0.02, Final: true, Present: 6})))
}

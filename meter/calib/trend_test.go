package calib_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/calibtest"
)

func TestTrend(t *testing.T) {
	var list []calib.Calibration
	noise := []float64{0.1, -0.1, 0.05, 0.1, -0.05, -0.1}
	for i := range 6 {
		list = append(list, calibtest.Made("E1", 30*i, calibtest.Glass{SlopePct: 99 - 0.5*float64(i) + noise[i], OffsetMV: 2 + noise[i], TauS: 4 * (1 + 0.1*float64(i))}))
	}
	trend, err := calib.TrendOf(list)
	require.NoError(t, err)
	assert.InDelta(t, -0.5, trend.Slope.PerMonth, 0.05)
	assert.True(t, trend.Slope.Clear())
	assert.False(t, trend.Offset.Clear())
	words := trend.Words()
	require.Len(t, words, 3)
	assert.Contains(t, words[0], "slope 99.1 → 96.4 % over 150 days, 6 calibrations, -0.5 % a month; at this pace 95 % in about 3 months")
	assert.Contains(t, words[1], "no clear change")
	assert.Contains(t, words[2], "time constant 4.0 → 6.0 s")
	for _, few := range [][]calib.Calibration{nil, list[:2], {list[0], calibtest.Made("E1", 1, calibtest.Glass{SlopePct: 99, OffsetMV: 2, TauS: 4}), calibtest.Made("E1", 2, calibtest.Glass{SlopePct: 99, OffsetMV: 2, TauS: 4})}} {
		_, err := calib.TrendOf(few)
		require.ErrorIs(t, err, calib.ErrFew)
	}
}

// Exchanged standards say nothing about the electrode.
func TestTrendLeavesMistakesOut(t *testing.T) {
	list := []calib.Calibration{calibtest.Made("E1", 0, calibtest.Glass{SlopePct: 99, OffsetMV: 1, TauS: 4}), calibtest.Made("E1", 10, calibtest.Glass{SlopePct: 99.1, OffsetMV: 1, TauS: 4}), calibtest.Made("E1", 20, calibtest.Glass{SlopePct: 98.9, OffsetMV: 1, TauS: 4}), calibtest.Made("E1", 30, calibtest.Glass{SlopePct: 99, OffsetMV: 1, TauS: 4})}
	with := append(append([]calib.Calibration(nil), list[:2]...), calibtest.Made("E1", 15, calibtest.Glass{SlopePct: 2, OffsetMV: 1, TauS: 4}))
	with = append(with, list[2:]...)
	a, err := calib.TrendOf(list)
	require.NoError(t, err)
	b, err := calib.TrendOf(with)
	require.NoError(t, err)
	assert.Equal(t, a, b)
}

// A trend is of three calibrations in two weeks or more; one of time constants, of three
// that have one; and what lies more than two years ahead is not foretold.
func TestWhatMakesATrend(t *testing.T) {
	every := func(days int, glass ...calibtest.Glass) []calib.Calibration {
		var list []calib.Calibration
		for i, g := range glass {
			list = append(list, calibtest.Made("E1", days*i, g))
		}
		return list
	}
	timed, untimed := calibtest.Glass{SlopePct: 99, TauS: 4}, calibtest.Glass{SlopePct: 99}
	short := every(1, timed, timed, timed)
	short[2].At = short[0].At.AddDate(0, 0, 13)
	_, err := calib.TrendOf(short)
	require.ErrorIs(t, err, calib.ErrFew, "13 days")
	_, err = calib.TrendOf(every(7, timed, timed, timed))
	require.NoError(t, err, "14 days")
	trend, err := calib.TrendOf(every(30, untimed, timed, timed, untimed))
	require.NoError(t, err)
	assert.Zero(t, trend.LastTau, "two that have one")
	trend, err = calib.TrendOf(every(30, timed, timed, timed, untimed))
	require.NoError(t, err)
	assert.InDelta(t, 4, trend.LastTau, 1e-9)
	falling := func(last float64) string { // by 0.1 % a month, on a line
		trend, err := calib.TrendOf(every(30, calibtest.Glass{SlopePct: last + 0.3}, calibtest.Glass{SlopePct: last + 0.2}, calibtest.Glass{SlopePct: last + 0.1}, calibtest.Glass{SlopePct: last}))
		require.NoError(t, err)
		return trend.Words()[0]
	}
	assert.Contains(t, falling(97.25), "at this pace 95 % in about 23 months")
	assert.NotContains(t, falling(97.5), "at this pace", "25 months")
}

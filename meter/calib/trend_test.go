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

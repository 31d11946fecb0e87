package grid_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/foreign/grid"
)

// at is a moment by the calendar of the standard library.
func at(y int, m time.Month, d, h, min int, s float64) float64 {
	return float64(time.Date(y, m, d, h, min, 0, 0, time.UTC).Unix()) + s
}

// Times of day and dates in the ways they are written: ISO 8601 (with RFC 3339, section 5.8),
// day first with points, month first with strokes, names of months, twelve hours.
func TestMoments(t *testing.T) {
	for _, tc := range []struct {
		cells []string
		want  []float64
	}{
		{[]string{"2026-11-27 22:30:15", "2026-11-27 22:31:15.5"}, []float64{at(2026, 11, 27, 22, 30, 15), at(2026, 11, 27, 22, 31, 15.5)}},
		{[]string{"1985-04-12T23:20:50.52Z"}, []float64{at(1985, 4, 12, 23, 20, 50.52)}}, // RFC 3339, section 5.8, first example
		{[]string{"27.11.2026 08:00", "28.11.2026 08:00"}, []float64{at(2026, 11, 27, 8, 0, 0), at(2026, 11, 28, 8, 0, 0)}},
		{[]string{"11/27/2026 8:00 AM", "11/27/2026 8:00 PM"}, []float64{at(2026, 11, 27, 8, 0, 0), at(2026, 11, 27, 20, 0, 0)}},
		{[]string{"27 Nov 2026 12:15 a.m.", "27 Nov 2026 12:15 pm"}, []float64{at(2026, 11, 27, 0, 15, 0), at(2026, 11, 27, 12, 15, 0)}},
		{[]string{"27/11/26 10:00:00,25"}, []float64{at(2026, 11, 27, 10, 0, 0.25)}},
		{[]string{"2026-11-27"}, []float64{at(2026, 11, 27, 0, 0, 0)}},
		{[]string{"26-Nov-27 00:00", "32-Nov-15 00:00"}, []float64{at(2027, 11, 26, 0, 0, 0), at(2032, 11, 15, 0, 0, 0)}}, // no month has 32 days
		{[]string{"23:59:30", "00:00:30", "00:01:00"}, []float64{86370, 86430, 86460}},                                    // past midnight
		{[]string{"9:30", "25:00", "9:61", "noon"}, []float64{34200, math.NaN(), math.NaN(), math.NaN()}},
		{[]string{"27.13.2026 10:00"}, []float64{36000}}, // no such date: the time alone
	} {
		got, undecided := grid.Moments(tc.cells, nil)
		assert.False(t, undecided, tc.cells)
		for i, want := range tc.want {
			if math.IsNaN(want) {
				assert.True(t, math.IsNaN(got[i]), tc.cells[i])
				continue
			}
			assert.InDelta(t, want, got[i], 1e-6, tc.cells[i])
		}
	}
}

// Which of day and month stands first is told by a thirteenth of anything; where nothing
// tells, the day is taken to be first, which is said where there is more than one day.
func TestDayOrMonthFirst(t *testing.T) {
	got, undecided := grid.Moments([]string{"10:00"}, []string{"03/14/2026"})
	assert.False(t, undecided)
	assert.InDelta(t, at(2026, 3, 14, 10, 0, 0), got[0], 1e-6)
	got, undecided = grid.Moments([]string{"03/04/2026", "03/14/2026"}, nil) // without times of day
	assert.False(t, undecided)
	assert.InDelta(t, at(2026, 3, 4, 0, 0, 0), got[0], 1e-6)
	got, undecided = grid.Moments([]string{"10:00", "10:00"}, []string{"03/04/2026", "04/04/2026"})
	assert.True(t, undecided)
	assert.InDelta(t, at(2026, 4, 3, 10, 0, 0), got[0], 1e-6)
	_, undecided = grid.Moments([]string{"10:00", "11:00"}, []string{"03/04/2026", "03/04/2026"})
	assert.False(t, undecided, "on one day it changes nothing")
}

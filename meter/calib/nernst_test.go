package calib_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/calib"
)

func TestNernstSlope(t *testing.T) {
	const (
		usp  = "USP 41 <791>, table, five decimals of a volt"
		pheu = "Ph. Eur. 11.0, 2.2.3, four decimals of a volt"
		book = "textbook figure, 59.16 mV at 25 °C"
		coda = "computed by hand from R and F of CODATA 2018"
	)
	for _, tc := range []struct {
		temp chem.Celsius
		want float64 // mV
		tol  float64 // half of the last digit printed, and a little
		src  string
	}{
		{25, 59.16, 0.0051, book},
		{15, 57.18, 0.011, usp}, {20, 58.17, 0.011, usp}, {25, 59.16, 0.011, usp}, {30, 60.16, 0.011, usp}, {35, 61.15, 0.011, usp},
		{15, 57.2, 0.06, pheu}, {20, 58.2, 0.06, pheu}, {25, 59.2, 0.06, pheu}, {30, 60.1, 0.06, pheu}, {35, 61.1, 0.06, pheu},
		{5, 55.19, 0.0051, coda}, {10, 56.18, 0.0051, coda}, {37, 61.54, 0.0051, coda}, {40, 62.14, 0.0051, coda}, {50, 64.12, 0.0051, coda},
	} {
		assert.InDelta(t, tc.want, calib.NernstSlope(tc.temp), tc.tol, "%g °C: %s", float64(tc.temp), tc.src)
	}
}

func TestIdealThereAndBack(t *testing.T) {
	// Worked: at 25 °C pH 4.01 is 2.99 · 59.16 mV = 176.9 mV, and 10.01 is −178.1 mV.
	assert.InDelta(t, 176.9, calib.IdealMV(4.01, 25), 0.05)
	assert.InDelta(t, -178.1, calib.IdealMV(10.01, 25), 0.05)
	rapid.Check(t, func(rt *rapid.T) {
		ph := rapid.Float64Range(-1, 15).Draw(rt, "pH")
		temp := chem.Celsius(rapid.Float64Range(0, 90).Draw(rt, "°C"))
		require.InDelta(rt, ph, calib.IdealPH(calib.IdealMV(ph, temp), temp), 1e-9)
	})
}

// fit recovers what an electrode was made with, at two to five standards, each
// at its own temperature.
func TestFitRecovers(t *testing.T) {
	names := []string{"4.01", "7.00", "10.01", "6.86", "9.18"}
	rapid.Check(t, func(rt *rapid.T) {
		slope := rapid.Float64Range(0.3, 1.2).Draw(rt, "slope")
		offset := rapid.Float64Range(-60, 60).Draw(rt, "offset")
		n := rapid.IntRange(2, len(names)).Draw(rt, "points")
		var points []calib.Point
		for _, name := range names[:n] {
			temp := rapid.Float64Range(15, 35).Draw(rt, "°C")
			points = append(points, mvPoint(rt, name, temp, slope, offset))
		}
		f, err := calib.FitPoints(points)
		require.NoError(rt, err)
		require.InDelta(rt, slope, f.Slope, 1e-9)
		require.InDelta(rt, offset, f.Offset, 1e-7)
		require.Less(rt, f.Residual, 1e-9)
		ph := rapid.Float64Range(2, 12).Draw(rt, "pH")
		mv := offset + slope*calib.IdealMV(ph, 21)
		require.InDelta(rt, ph, f.PH(mv, 21), 1e-9)
	})
}

// Least squares by hand: x of 177.4, 0, −177.4 mV with y of 171, 4, −165 gives
// b = 177.4·(171+165)/(2·177.4²) = 0.9470 and a = 10/3.
func TestFitByHand(t *testing.T) {
	k := calib.NernstSlope(25)
	x := 3 * k
	var points []calib.Point
	for i, y := range []float64{171, 4, -165} {
		mv := y
		points = append(points, calib.Point{Standard: "own", TempC: 25, PH: 4 + 3*float64(i), MV: &mv})
	}
	f, err := calib.FitPoints(points)
	require.NoError(t, err)
	assert.InDelta(t, (171+165)/(2*x), f.Slope, 1e-12)
	assert.InDelta(t, 10.0/3, f.Offset, 1e-12)
	// The middle point lies 4 − 10/3 mV above the line.
	assert.InDelta(t, (4-10.0/3)/k, f.Residual, 1e-12)
}

func TestFitRefuses(t *testing.T) {
	a, b := mvPoint(t, "7.00", 25, 1, 0), mvPoint(t, "7.00", 25, 1, 1)
	for name, points := range map[string][]calib.Point{
		"none": nil, "one": {a}, "the same twice": {a, b},
	} {
		_, err := calib.FitPoints(points)
		require.ErrorIs(t, err, calib.ErrPoints, name)
	}
	nan := math.NaN()
	c := mvPoint(t, "4.01", 25, 1, 0)
	for _, bad := range []*float64{nil, &nan} {
		c.MV = bad
		_, err := calib.FitPoints([]calib.Point{a, c})
		require.ErrorIs(t, err, calib.ErrValue)
	}
}

// testing is what both *testing.T and *rapid.T do.
type testingT interface {
	require.TestingT
	Helper()
}

// mvPoint is a point of an electrode with a slope (share) and an offset (mV).
func mvPoint(t testingT, name string, temp, slope, offset float64) calib.Point {
	t.Helper()
	p := tablePoint(t, name, temp)
	mv := offset + slope*calib.IdealMV(p.PH, chem.Celsius(temp))
	p.MV = &mv
	return p
}

// tablePoint is a point without a reading.
func tablePoint(t testingT, name string, temp float64) calib.Point {
	t.Helper()
	s, err := calib.Find(name, calib.Technical)
	require.NoError(t, err)
	p, err := calib.NewPoint(s, chem.Celsius(temp))
	require.NoError(t, err)
	p.At = noon
	return p
}

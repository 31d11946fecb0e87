package calib_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/nernst"
	"example.org/halfdrop/meter/calib/standards"
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
		assert.InDelta(t, tc.want, nernst.Slope(tc.temp), tc.tol, "%g °C: %s", float64(tc.temp), tc.src)
	}
}

func TestIdealThereAndBack(t *testing.T) {
	// Worked: at 25 °C pH 4.01 is 2.99 · 59.16 mV = 176.9 mV, and 10.01 is −178.1 mV.
	assert.InDelta(t, 176.9, nernst.MV(4.01, 25), 0.05)
	assert.InDelta(t, -178.1, nernst.MV(10.01, 25), 0.05)
	rapid.Check(t, func(rt *rapid.T) {
		ph := rapid.Float64Range(-1, 15).Draw(rt, "pH")
		temp := chem.Celsius(rapid.Float64Range(0, 90).Draw(rt, "°C"))
		require.InDelta(rt, ph, nernst.PH(nernst.MV(ph, temp), temp), 1e-9)
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
		mv := offset + slope*nernst.MV(ph, 21)
		require.InDelta(rt, ph, f.PH(mv, 21), 1e-9)
	})
}

// Least squares by hand: standards of pH 3, 6 and 9 are 3 pH, 177.4 mV, apart, and
// the middle one lies at x = 59.16 mV; y of 171, 4, −165 gives
// b = 177.4·(171+165)/(2·177.4²) = 0.9470 and a = 10/3 − b·59.16.
func TestFitByHand(t *testing.T) {
	k := nernst.Slope(25)
	x := 3 * k
	var points []calib.Point
	for i, y := range []float64{171, 4, -165} {
		mv := y
		points = append(points, calib.Point{Standard: "own", TempC: 25, PH: 3 + 3*float64(i), MV: &mv})
	}
	f, err := calib.FitPoints(points)
	require.NoError(t, err)
	assert.InDelta(t, (171+165)/(2*x), f.Slope, 1e-12)
	assert.InDelta(t, 10.0/3-f.Slope*k, f.Offset, 1e-12)
	// The middle point lies 4 − 10/3 mV above the line.
	assert.InDelta(t, (4-10.0/3)/k, f.Residual, 1e-12)
}

// The spreads of a line by hand: two points of 1.0 mV each, 177.0 mV apart, know the
// slope to √2/177.0 = 0.80 % by themselves. Bottles of ±0.01 pH, 0.59 mV, make the
// points √(1 + 0.35) = 1.162 mV, the slope 0.93 %; a temperature to 0.3 K of 298 K
// adds 0.10 %. At pH 7.00, where one of the points is, the pH is as well known as
// that point: 1.162/59.16 = 0.0196.
func TestSpreadByHand(t *testing.T) {
	a, b := mvPoint(t, "7.00", 25, 1, 0), mvPoint(t, "4.01", 25, 1, 0)
	a.SD, b.SD = 1/59.16, 1/59.16
	f, err := calib.FitPoints([]calib.Point{a, b})
	require.NoError(t, err)
	assert.InDelta(t, math.Hypot(0.93, 0.10), 100*f.SlopeSD, 0.01)
	assert.InDelta(t, 1.162, f.OffsetSD, 0.005)
	assert.InDelta(t, 0.0196, f.SpreadAt(7, 25), 0.0005)
	// Beyond its standards a line is worse, between them better than in one.
	assert.Less(t, f.SpreadAt(5.5, 25), 0.0150)
	assert.Greater(t, f.SpreadAt(10, 25), 2*f.SpreadAt(7, 25))
	// Primary standards are made to ±0.01, 0.005 as a standard deviation: √2 · 0.296 mV over
	// 177.0 are 0.236 %, and a temperature to 0.3 °C adds its 0.10 %; one given by hand, to
	// 1.5 °C, 0.50 %.
	a, b = mvPoint(t, "7.00", 25, 1, 0), mvPoint(t, "4.01", 25, 1, 0)
	a.Set, b.Set, a.SD, b.SD = standards.Primary, standards.Primary, 1e-6, 1e-6
	f, err = calib.FitPoints([]calib.Point{a, b})
	require.NoError(t, err)
	assert.InDelta(t, math.Hypot(0.236, 0.10), 100*f.SlopeSD, 0.005)
	a.TempByHand, b.TempByHand = true, true
	f, err = calib.FitPoints([]calib.Point{a, b})
	require.NoError(t, err)
	assert.InDelta(t, math.Hypot(0.236, 0.50), 100*f.SlopeSD, 0.01)
	a, b = mvPoint(t, "7.00", 25, 1, 0), mvPoint(t, "4.01", 25, 1, 0)
	a.SD, b.SD = 1/59.16, 1/59.16
	// When both points are off the same way, the slope does not feel it.
	a.Cov, b.Cov = []float64{1}, []float64{1, 1}
	f, err = calib.FitPoints([]calib.Point{a, b})
	require.NoError(t, err)
	assert.InDelta(t, math.Hypot(100*0.592*math.Sqrt2/177, 0.10), 100*f.SlopeSD, 0.01)
	assert.True(t, math.IsInf(calib.Fit{}.SpreadAt(7, 25), 1))
}

// What is claimed is what comes: lines drawn again and again through points that
// scatter by their spreads give a pH that scatters by that of the line.
func TestSpreadIsWhatComes(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	for _, ph := range []float64{3, 5, 7, 9} {
		var f calib.Fit
		sum, square := 0.0, 0.0
		const n = 4000
		for range n {
			var points []calib.Point
			for i, name := range []string{"7.00", "4.01", "9.21"} {
				p := mvPoint(t, name, 25, 0.97, 5)
				sd := []float64{0.02, 0.01, 0.03}[i]
				p.SD = sd
				bottle := 0.010
				if i == 2 {
					bottle = 0.020
				}
				*p.MV += 59.16 * math.Hypot(sd, bottle) * r.NormFloat64()
				points = append(points, p)
			}
			var err error
			f, err = calib.FitPoints(points)
			require.NoError(t, err)
			d := f.PH(5-0.97*59.16*(ph-7), 25) - ph
			sum, square = sum+d, square+d*d
		}
		sd := math.Sqrt(square/n - sum/n*sum/n)
		// Without the temperature, which does not scatter here, and with points that
		// widen the spread where they happen to scatter more.
		p := mvPoint(t, "7.00", 25, 0.97, 5)
		q, s := mvPoint(t, "4.01", 25, 0.97, 5), mvPoint(t, "9.21", 25, 0.97, 5)
		p.SD, q.SD, s.SD = 0.02, 0.01, 0.03
		exact, err := calib.FitPoints([]calib.Point{p, q, s})
		require.NoError(t, err)
		warm := 0.97 * 0.3 / 298.15 * (ph - 7) / 0.97
		assert.InEpsilon(t, sd, math.Sqrt(math.Pow(exact.SpreadAt(ph, 25), 2)-warm*warm), 0.05, "pH %g", ph)
	}
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
	mv := offset + slope*nernst.MV(p.PH, chem.Celsius(temp))
	p.MV = &mv
	return p
}

// tablePoint is a point without a reading.
func tablePoint(t testingT, name string, temp float64) calib.Point {
	t.Helper()
	s, err := standards.Find(name, standards.Technical)
	require.NoError(t, err)
	p, err := calib.NewPoint(s, chem.Celsius(temp))
	require.NoError(t, err)
	p.At = noon
	return p
}

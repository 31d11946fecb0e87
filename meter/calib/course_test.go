package calib_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/course"
	"example.org/halfdrop/meter/calib/walk"
)

// sent is what an electrode shows in a standard, mV after so many seconds.
type sent func(s float64) float64

// led puts an electrode with a course into 7.00 and gives what became of it: the
// seconds until it was taken, how well it was known then, or that it was asked about.
func led(t *testing.T, of sent, noise, tolerance float64, sends string) string {
	t.Helper()
	r := rand.New(rand.NewPCG(5, 6))
	p := walk.NewProcedure(choices(t, "7.00", "4.01"), 25, wall)
	p.Wants(tolerance)
	ends, before := 0.0, 0
	if n, _ := fmt.Sscanf(sends, "at %f %%", &ends); n == 1 { // 7.00 was typed, and 4.01 ends so that the slope is this
		require.NoError(t, p.Type(0, meter.Reading{Quantity: meter.Millivolt, Value: 0, Decimals: 1}, true))
		ends, before = ends/100*59.16*2.995, 1
	}
	p.Ready(0)
	for s := 0.5; s < 300; s++ {
		mv := ends + of(s) + noise*r.NormFloat64()
		reading := meter.Reading{Quantity: meter.Millivolt, Value: rounded(mv, 1), Decimals: 1}
		if sends == "both" {
			reading = meter.Reading{Quantity: meter.PH, Value: rounded(7-mv/59.16, 1), Decimals: 1, HasMV: true, MV: rounded(mv, 1)}
		}
		if sends == "mv of no decimals" {
			reading.Value, reading.Decimals = rounded(mv, 0), 0
		}
		changed, err := p.Push(s, reading)
		require.NoError(t, err)
		if !changed {
			continue
		}
		if points, _ := p.Points(); len(points) == before+1 {
			return fmt.Sprintf("taken after %.1f s, ± %.4f at %.2f mV", s, points[before].SD, *points[before].MV)
		}
		return fmt.Sprintf("asked after %.1f s: %s", s, p.Why())
	}
	return "neither in 300 s"
}

// comes is an electrode that comes from way mV off, a share of it late.
func comes(way, fast, share, late float64) sent {
	return func(s float64) float64 {
		return way * ((1-share)*math.Exp(-s/fast) + share*math.Exp(-s/late))
	}
}

// When a value is taken, and when it is asked about instead: testdata/courses.txt. The
// courses are exponentials with noise that is the same each time, so that a figure of
// judgement of the wait, of drift or of the fit moves a row.
func TestCourses(t *testing.T) {
	var rows []string
	add := func(what string, of sent, noise, tol float64, sends string) {
		rows = append(rows, fmt.Sprintf("%s: %s", what, led(t, of, noise, tol, sends)))
	}
	add("quick", comes(60, 3, 0, 1), 0.1, 0, "mv")
	add("quick, mV beside a pH of one decimal", comes(60, 3, 0, 1), 0.1, 0, "both")
	add("quick, for ±0.02", comes(60, 3, 0, 1), 0.1, 0.02, "mv")
	add("quick, for ±0.005", comes(60, 3, 0, 1), 0.02, 0.005, "mv")
	add("slow", comes(60, 25, 0, 1), 0.1, 0, "mv")
	add("very slow, far off", comes(250, 45, 0, 1), 0.1, 0, "mv")
	add("late", comes(100, 6, 0.04, 120), 0.2, 0, "mv")
	add("very late", comes(100, 6, 0.10, 150), 0.2, 0, "mv")
	add("noisy", comes(60, 4, 0.01, 80), 1.4, 0, "mv")
	add("noisy, for ±0.02", comes(60, 4, 0.01, 80), 0.7, 0.02, "mv")
	add("very noisy", comes(60, 4, 0, 1), 9, 0, "mv")
	for _, drift := range []float64{0.8, 1.6, 3, 8} {
		add(fmt.Sprintf("drifts by %g mV a minute", drift), func(s float64) float64 { return comes(60, 3, 0, 1)(s) + drift/60*s }, 0.1, 0, "mv")
		add(fmt.Sprintf("drifts by %g mV a minute, noisy", drift), func(s float64) float64 { return comes(60, 3, 0, 1)(s) - drift/60*s }, 0.5, 0, "mv")
	}
	for _, drift := range []float64{1.4, 2, 4, 6} {
		add(fmt.Sprintf("drifts by %g mV a minute, hardly noisy", drift), func(s float64) float64 { return comes(30, 2, 0, 1)(s) + drift/60*s }, 0.03, 0, "mv")
	}
	for _, drift := range []float64{1, 2, 3} {
		add(fmt.Sprintf("warms up by %g mV a minute after 25 s", drift), func(s float64) float64 { return comes(60, 4, 0, 1)(s) + drift/60*math.Max(s-25, 0) }, 0.25, 0, "mv")
		add(fmt.Sprintf("cools by %g mV a minute after 45 s", drift), func(s float64) float64 { return comes(60, 4, 0.02, 60)(s) - drift/60*math.Max(s-45, 0) }, 0.25, 0, "mv")
	}
	add("late, and quick to be known", comes(100, 2, 0.05, 60), 0.03, 0, "mv")
	add("mV without decimals", comes(60, 3, 0, 1), 0.05, 0, "mv of no decimals")
	add("the last one, slope at 95 %", comes(100, 8, 0.03, 100), 0.1, 0, "at 95 %")
	add("the last one, slope at 98 %", comes(100, 8, 0.03, 100), 0.1, 0, "at 98 %")
	add("in the air for 8 s", func(s float64) float64 {
		if s < 8 {
			return 120 + 30*math.Sin(s)
		}
		return comes(110, 3, 0.01, 80)(s - 8)
	}, 0.1, 0, "mv")
	sameTable(t, "courses.txt", rows, 0.02, 0.0003)
}

// made is what is made of readings before they are fitted: the bins, and which of them is
// the first of the standard.
func made(t, y []float64) (bt, by []float64, first int) {
	var list []course.Sample
	for i := range t {
		list = append(list, course.Sample{T: t[i], Y: y[i]})
	}
	bins := course.Binned(list)
	for _, b := range bins {
		bt, by = append(bt, b.T), append(by, b.Y)
	}
	first, _ = course.Start(bins)
	return bt, by, first
}

// singly are readings as bins of their own.
func singly(t, y []float64) (out []course.Bin) {
	for i := range t {
		out = append(out, course.Bin{T: t[i], Y: y[i], N: 1})
	}
	return out
}

// What reaches the fit: a second's readings as one, single wild ones left out, and
// nothing from before the electrode was in the standard.
func TestWhatReachesTheFit(t *testing.T) {
	var ts, ys []float64
	r := rand.New(rand.NewPCG(7, 8))
	for s := 0.0; s < 60; s += 0.25 {
		ts, ys = append(ts, s), append(ys, comes(50, 4, 0.01, 90)(s)+0.2*r.NormFloat64())
	}
	bt, by, first := made(ts, ys)
	assert.Len(t, bt, 60, "four readings a second are one bin each")
	assert.LessOrEqual(t, first, 6, "of a quick approach on a fine grid the first seconds may be left out")
	assert.InDelta(t, 0.375, bt[0], 1e-9)
	assert.InDelta(t, comes(50, 4, 0.01, 90)(30.375), by[30], 0.4)

	ts, ys = nil, nil
	for s := 0.0; s < 50; s++ {
		ts, ys = append(ts, s), append(ys, comes(20, 4, 0, 1)(s)+0.1*r.NormFloat64())
	}
	whole := func() int { bt, _, _ := made(ts, ys); return len(bt) }
	require.Equal(t, 50, whole())
	least := ladder{"", 0.5, 6, func(x float64) string {
		was := ys[40]
		defer func() { ys[40] = was }()
		ys[40] += x
		return fmt.Sprint(whole())
	}}.rungs()
	require.GreaterOrEqual(t, len(least), 2, "from some size on a wild reading is left out: %v", least)
	var from float64
	var left int
	_, err := fmt.Sscan(least[1], &from, &left)
	require.NoError(t, err)
	assert.Equal(t, 49, left)
	assert.InDelta(t, 2.4, from, 0.2, "mV: 1.5, and nine times what the readings usually do")
	for _, n := range []int{5, 6, 9} {
		bt, _, first := made(ts[:n], ys[:n])
		assert.Len(t, bt, n)
		assert.Zero(t, first, "%d bins", n)
	}

	// In the air at first, then in the standard: the course begins where it was put in.
	for _, tc := range []struct{ air, jump, way float64 }{{3, 90, 60}, {10, 60, 100}, {12, 20, 15}, {6, 12, 30}, {20, 8, 6}} {
		ts, ys = nil, nil
		for s := 0.0; s < 60; s++ {
			y := comes(tc.way, 3, 0.01, 80)(s - tc.air)
			if s < tc.air {
				y = tc.jump * (1 + 0.5*r.NormFloat64())
			}
			ts, ys = append(ts, s), append(ys, y+0.1*r.NormFloat64())
		}
		bt, _, first := made(ts, ys)
		assert.InDelta(t, tc.air, bt[first], 2.1, "%+v", tc)
	}
}

// Where the readings of a standard begin is the likeliest account of it; five of them are
// the least that anything is made of.
func TestWhereACourseBegins(t *testing.T) {
	var rows []string
	for _, tc := range []struct {
		air, way, share float64
	}{{0, 60, 0.01}, {0, 100, 0.3}, {8, 60, 0.02}, {8, 150, 0.15}} {
		r := rand.New(rand.NewPCG(3, 4))
		var ts, ys []float64
		for s := 0.0; s < 40; s++ {
			y := comes(tc.way, 4, tc.share, 80)(s - tc.air)
			if s < tc.air {
				y = 70 * r.NormFloat64()
			}
			ts, ys = append(ts, s), append(ys, y+0.1*r.NormFloat64())
		}
		_, evidence := course.Start(singly(ts, ys))
		rows = append(rows, fmt.Sprintf("%g s in the air, %g mV off, %g late: ln evidence %.2f", tc.air, tc.way, tc.share, evidence))
	}
	sameTable(t, "begins.txt", rows, 0, 0.05)
	g := walk.NewGather(choices(t, "7.00")[0].Standard, 0, 25)
	for s := 1.0; s < 12; s++ {
		g.Push(2*s, meter.Reading{Quantity: meter.Millivolt, Value: 1 - 0.1*math.Mod(s, 2), Decimals: 1})
		assert.Equal(t, s >= 5, g.Estimate().Known, "%g readings", s)
	}
}

// An electrode on its way is said to move beyond doubt while it goes by more than 1.2 mV a
// minute (0.02 pH, choice), over fifteen seconds, and faster than a late part could; a
// drift that looks like one is not. The seconds are those of the fit as it is: look at
// TestFound before they are written anew.
func TestMovingBeyondDoubt(t *testing.T) {
	moves := func(fast, drift, after float64) bool {
		r := rand.New(rand.NewPCG(8, 8))
		g := walk.NewGather(choices(t, "7.00")[0].Standard, 0, 25)
		for s := 1.0; s <= after; s++ {
			y := comes(60, fast, 0, 1)(s) + drift/60*s + 0.02*r.NormFloat64()
			g.Push(s, meter.Reading{Quantity: meter.Millivolt, Value: y, Decimals: 2})
		}
		p, err := g.Point(after, true)
		require.NoError(t, err)
		return p.Restless
	}
	for _, tc := range []struct{ fast, drift, yes, no float64 }{
		{3, 0, 29, 31}, {3, 1.5, 27, 29}, {3, 6, 23, 25}, {12, 0, 68, 72}, {16, 0, 80, 84},
	} {
		assert.True(t, moves(tc.fast, tc.drift, tc.yes), "%+v", tc)
		assert.False(t, moves(tc.fast, tc.drift, tc.no), "%+v", tc)
	}
}

// The noise of one reading beside the next: that of white noise is its standard
// deviation, that of a drift is none, and what the last digit hides is not taken for rest.
func TestHiss(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	var white, drift, still []float64
	for i := range 4000 {
		white, drift, still = append(white, 0.4*r.NormFloat64()), append(drift, 0.05*float64(i)), append(still, 1)
	}
	hiss := func(y []float64, step float64) float64 {
		var seconds []float64
		for i := range y {
			seconds = append(seconds, float64(i))
		}
		d := course.Dip{Bins: singly(seconds, y), Step: step}
		return d.Hiss()
	}
	assert.InDelta(t, 0.4, hiss(white, 0.1), 0.02)
	assert.InDelta(t, 0.03, hiss(drift, 0.1), 1e-6)
	assert.InDelta(t, 0.3, hiss(still, 1), 1e-6)
	// The digits of mV beside a pH are not told: 0.1 mV is usual.
	g := walk.NewGather(choices(t, "7.00")[0].Standard, 0, 25)
	for s := range 20 {
		g.Push(float64(s), meter.Reading{Quantity: meter.PH, Value: 7.02, Decimals: 2, HasMV: true, MV: -1.2})
	}
	p, err := g.Point(20, false)
	require.NoError(t, err)
	assert.InDelta(t, 0.03, p.Hiss, 1e-6)
}

// What is taken at the word of a person before anything is known of it is worth 0.1 pH,
// later what it is: the mean of three seconds, how far it is from its end, and the noise.
func TestWhatAWordIsWorth(t *testing.T) {
	take := func(after int, of sent) calib.Point {
		p := walk.NewProcedure(choices(t, "7.00", "4.01"), 25, wall)
		p.Ready(0)
		for s := 1; s <= after; s++ {
			_, err := p.Push(float64(s), meter.Reading{Quantity: meter.Millivolt, Value: of(float64(s)), Decimals: 2})
			require.NoError(t, err)
		}
		require.NoError(t, p.Accept(float64(after)))
		points, _ := p.Points()
		return points[0]
	}
	rises := func(s float64) float64 { return s }
	p := take(3, rises)
	assert.InDelta(t, 0.1, p.SD, 0.003, "0.1 pH")
	assert.InDelta(t, 2, *p.MV, 0.01, "the mean of 1, 2 and 3")
	p = take(4, func(s float64) float64 { return 10 * s })
	assert.InDelta(t, 25, *p.MV, 0.01, "the mean of 10 to 40, all within three seconds")
	p = take(5, func(s float64) float64 { return 10 * s })
	assert.InDelta(t, 35, *p.MV, 0.01, "the mean of the last four")
	moving := take(14, comes(80, 20, 0, 1))
	assert.True(t, moving.ByHand)
	shown := (comes(80, 20, 0, 1)(14) + comes(80, 20, 0, 1)(13) + comes(80, 20, 0, 1)(12) + comes(80, 20, 0, 1)(11)) / 4
	assert.InDelta(t, shown, *moving.MV, 0.02)
	assert.Greater(t, moving.SD*59.16, 0.6*shown, "it has so far to go")
}

// The temperature of a standard follows what is sent by a fifth a reading, and the
// limits of what one can have are those of the run: 0.5 to 60 °C.
func TestTemperatureOfAStandard(t *testing.T) {
	g := walk.NewGather(choices(t, "7.00")[0].Standard, 0, 25)
	push := func(temp float64) {
		g.Push(1, meter.Reading{Quantity: meter.Millivolt, Value: 1, HasTemp: true, TempC: temp})
	}
	push(20)
	assert.InDelta(t, 20, float64(g.Temp()), 1e-9)
	push(22)
	assert.InDelta(t, 20.4, float64(g.Temp()), 1e-9)
	for temp, bad := range map[float64]bool{0.4: true, 0.6: false, 59: false, 61: true, -5: true} {
		push(temp)
		assert.Equal(t, bad, !math.IsNaN(g.BadTemp()), "%g °C", temp)
	}
	assert.Greater(t, g.Temp(), chem.Celsius(5))
	q := walk.NewProcedure(choices(t, "7.00", "4.01"), 25, wall)
	for temp, impossible := range map[float64]bool{0.4: false, 20: false, 58: true, 61: false} {
		_, err := q.Push(1, meter.Reading{Value: 7, HasTemp: true, TempC: temp})
		require.NoError(t, err)
		assert.Equal(t, impossible, len(q.Impossible()) > 0, "%g °C", temp)
	}
}

package calib_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/chem"
	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/nernst"
)

var noon = time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)

func about() calib.About { return calib.About{Electrode: "E1", Meter: "bench", At: noon} }

// finding is the first finding of a code.
func finding(c calib.Calibration, code calib.Code) (calib.Finding, bool) {
	for _, f := range c.Findings {
		if f.Code == code {
			return f, true
		}
	}
	return calib.Finding{}, false
}

func judged(t *testing.T, check *calib.Point, points ...calib.Point) calib.Calibration {
	t.Helper()
	c, err := calib.Judge(about(), points, check)
	require.NoError(t, err)
	return c
}

func TestVerdicts(t *testing.T) {
	two := func(slope, offset float64) []calib.Point {
		return []calib.Point{mvPoint(t, "7.00", 25, slope, offset), mvPoint(t, "4.01", 25, slope, offset)}
	}
	for _, tc := range []struct {
		name   string
		points []calib.Point
		want   calib.Verdict
		code   calib.Code
		level  calib.Level
	}{
		{"good", two(0.985, 3), calib.Accepted, calib.CodeSlope, calib.Pass},
		{"just good", two(0.9505, -14.9), calib.Accepted, calib.CodeSlope, calib.Pass},
		{"slope to be seen to", two(0.93, 0), calib.WithRemark, calib.CodeSlope, calib.Remark},
		{"slope too low", two(0.89, 0), calib.Refused, calib.CodeSlope, calib.Stop},
		{"slope too high", two(1.06, 0), calib.Refused, calib.CodeSlope, calib.Stop},
		{"offset to be seen to", two(0.985, -16), calib.WithRemark, calib.CodeOffset, calib.Remark},
		{"offset too large", two(0.985, 31), calib.Refused, calib.CodeOffset, calib.Stop},
		{"alike", two(0.02, 1), calib.Refused, calib.CodeAlike, calib.Stop},
		{"dead", two(0, 3), calib.Refused, calib.CodeAlike, calib.Stop},
		{"swapped", []calib.Point{put(tablePoint(t, "4.01", 25), 7.00, 0.98, 2), put(tablePoint(t, "7.00", 25), 4.01, 0.98, 2)}, calib.Refused, calib.CodeSwapped, calib.Stop},
		{"wrong sign", two(-0.98, 2), calib.Refused, calib.CodeReversed, calib.Stop},
	} {
		c := judged(t, nil, tc.points...)
		f, ok := finding(c, tc.code)
		assert.Equal(t, tc.want, c.Verdict, tc.name)
		assert.True(t, ok, tc.name)
		assert.Equal(t, tc.level, f.Level, "%s: %s", tc.name, f.Text)
		assert.NotEmpty(t, f.Basis, tc.name)
		assert.Equal(t, tc.want != calib.Refused, c.Usable(), tc.name)
		_, err := c.Encode()
		assert.NoError(t, err, tc.name)
	}
}

// put makes a point read as another standard would.
func put(p calib.Point, ph, slope, offset float64) calib.Point {
	mv := offset + slope*nernst.MV(ph, chem.Celsius(p.TempC))
	p.MV = &mv
	return p
}

func TestSwappedOfThree(t *testing.T) {
	a, b, c := mvPoint(t, "4.01", 25, 0.98, 5), mvPoint(t, "7.00", 25, 0.98, 5), mvPoint(t, "10.01", 25, 0.98, 5)
	b.MV, c.MV = c.MV, b.MV
	got := judged(t, nil, a, b, c)
	f, ok := finding(got, calib.CodeSwapped)
	require.True(t, ok)
	assert.Equal(t, "7.00 and 10.01 seem to have been exchanged: check the labels, and dip into each once more", f.Text)
	assert.Equal(t, calib.Refused, got.Verdict)
}

// A stale pH 10: 10.04 to 9.89 in a day in an open beaker (seen); here it reads
// as 9.86. The slope from 7 up is low, the one below is not.
func TestStaleAlkaline(t *testing.T) {
	points := []calib.Point{mvPoint(t, "4.01", 25, 0.99, 2), mvPoint(t, "7.00", 25, 0.99, 2), put(tablePoint(t, "10.01", 25), 9.86, 0.99, 2)}
	c := judged(t, nil, points...)
	f, ok := finding(c, calib.CodeStale)
	require.True(t, ok)
	assert.Equal(t, calib.Remark, f.Level)
	assert.Equal(t, calib.WithRemark, c.Verdict)
	points[2] = mvPoint(t, "10.01", 25, 0.99, 2)
	_, ok = finding(judged(t, nil, points...), calib.CodeStale)
	assert.False(t, ok, "a fresh one is not complained about")
	_, ok = finding(judged(t, nil, points...), calib.CodeOther)
	assert.False(t, ok)
}

// 6.86 in the beaker of 7.00 is 0.14 pH, 8.3 mV at 25 °C (arithmetic).
func TestWrongFamily(t *testing.T) {
	liquid := tablePoint(t, "6.86", 25).PH
	p := put(tablePoint(t, "7.00", 25), liquid, 1, 0)
	assert.InDelta(t, 8.3, *p.MV-nernst.MV(7.00, 25), 0.35) // 6.865, not 6.86
	three := judged(t, nil, mvPoint(t, "4.01", 25, 0.99, 1), put(tablePoint(t, "7.00", 25), liquid, 0.99, 1), mvPoint(t, "10.01", 25, 0.99, 1))
	f, ok := finding(three, calib.CodeOther)
	require.True(t, ok)
	assert.Equal(t, calib.Stop, f.Level)
	assert.Contains(t, f.Text, "the beaker of 7.00 held 6.86 of the primary standards")
	two := judged(t, nil, mvPoint(t, "4.01", 25, 1, 0), p)
	f, ok = finding(two, calib.CodeTwo)
	require.True(t, ok, "two standards cannot tell")
	assert.Equal(t, calib.Note, f.Level)
	assert.Contains(t, f.Text, "10.01 as a third")
	assert.Equal(t, calib.Accepted, two.Verdict)
	plain := judged(t, nil, mvPoint(t, "4.01", 25, 0.985, 8.3), mvPoint(t, "7.00", 25, 0.985, 8.3))
	_, ok = finding(plain, calib.CodeOther)
	assert.False(t, ok, "an electrode with an offset of 8.3 mV alone is no wrong bottle")
}

func TestResidual(t *testing.T) {
	for _, tc := range []struct {
		off  float64
		want calib.Level
	}{{0.02, calib.Pass}, {0.08, calib.Remark}, {0.25, calib.Stop}} {
		mid := put(tablePoint(t, "7.00", 25), 7.00-tc.off, 0.985, 0)
		c := judged(t, nil, mvPoint(t, "4.01", 25, 0.985, 0), mid, mvPoint(t, "9.18", 25, 0.985, 0))
		f, ok := finding(c, calib.CodeResidual)
		require.True(t, ok)
		assert.Equal(t, tc.want, f.Level, f.Text)
	}
}

func TestCheckStandard(t *testing.T) {
	points := []calib.Point{mvPoint(t, "4.01", 25, 0.98, 4), mvPoint(t, "10.01", 25, 0.98, 4)}
	for _, tc := range []struct {
		off  float64
		want calib.Level
	}{{0.04, calib.Pass}, {-0.08, calib.Remark}, {0.12, calib.Stop}} {
		check := tablePoint(t, "7.00", 25)
		check = put(check, check.PH+tc.off, 0.98, 4)
		c := judged(t, &check, points...)
		f, _ := finding(c, calib.CodeCheck)
		assert.Equal(t, tc.want, f.Level, f.Text)
	}
	// Its spread is that of its bottle, of its reading, and of the line there. The line is 3 pH
	// from 4.01 and as far from 10.01 (±0.020): √(0.25 · 0.010² + 0.25 · 0.020²) = 0.011, with
	// the 0.010 of the bottle 0.015.
	for off, words := range map[float64]string{0.02: "off by +0.020 ± 0.015", 0.04: "± 0.015; it may as well lie on the other side of 0.05", 0.07: "± 0.015; it may as well lie on the other side of 0.05, which is within its spread", 0.14: "off by +0.140 ± 0.015: calibrate"} {
		check := put(tablePoint(t, "7.00", 25), 7.004+off, 0.98, 4)
		check.PH = 7.004
		f, _ := finding(judged(t, &check, points...), calib.CodeCheck)
		assert.Contains(t, f.Text, words)
	}
	// What the dips teach of each other counts: readings that are off together tell no less.
	together, apart := points, tablePoint(t, "7.00", 25)
	apart = put(apart, apart.PH, 0.98, 4)
	together[0].Cov, together[1].Cov, apart.Cov = []float64{4}, []float64{4, 4}, []float64{0, 0, 4}
	same := apart
	same.Cov = []float64{4, 4, 4}
	spreadOf := func(p calib.Point) (sd float64) {
		f, _ := finding(judged(t, &p, together...), calib.CodeCheck)
		_, after, _ := strings.Cut(f.Text, "± ")
		_, err := fmt.Sscanf(after, "%f", &sd)
		require.NoError(t, err, f.Text)
		return sd
	}
	assert.InDelta(t, 0.015, spreadOf(same), 0.001)
	assert.InDelta(t, math.Hypot(0.015, 2*math.Sqrt2/(0.98*59.16)), spreadOf(apart), 0.002)
	outside := mvPoint(t, "4.01", 25, 0.98, 4)
	c := judged(t, &outside, mvPoint(t, "7.00", 25, 0.98, 4), mvPoint(t, "10.01", 25, 0.98, 4))
	require.Equal(t, calib.WithRemark, c.Verdict)
	shown := 7.0
	bad := tablePoint(t, "7.00", 25)
	bad.Shown = &shown
	_, err := calib.Judge(about(), points, &bad)
	require.ErrorIs(t, err, calib.ErrValue, "a pH says nothing about a line through mV")
}

func TestSpan(t *testing.T) {
	near := judged(t, nil, mvPoint(t, "6.86", 25, 0.99, 0), mvPoint(t, "7.41", 25, 0.99, 0))
	far := judged(t, nil, mvPoint(t, "4.01", 25, 0.99, 0), mvPoint(t, "10.01", 25, 0.99, 0))
	good := judged(t, nil, mvPoint(t, "4.01", 25, 0.99, 0), mvPoint(t, "7.00", 25, 0.99, 0))
	for i, c := range []calib.Calibration{near, far} {
		f, ok := finding(c, calib.CodeSpan)
		require.True(t, ok, i)
		assert.Equal(t, calib.Remark, f.Level)
		assert.Contains(t, f.Basis, "DIN 19268")
	}
	_, ok := finding(good, calib.CodeSpan)
	assert.False(t, ok)
}

func TestTemperatures(t *testing.T) {
	for _, tc := range []struct {
		apart float64
		want  calib.Verdict
	}{{1.5, calib.Accepted}, {4, calib.WithRemark}, {6, calib.Refused}} {
		c := judged(t, nil, mvPoint(t, "4.01", 20, 0.99, 0), mvPoint(t, "7.00", 20+tc.apart, 0.99, 0))
		assert.Equal(t, tc.want, c.Verdict, "%g °C apart", tc.apart)
	}
	p := mvPoint(t, "4.01", 20, 0.99, 0)
	p.TempByHand = true
	c := judged(t, nil, p, mvPoint(t, "7.00", 20, 0.99, 0))
	f, ok := finding(c, calib.CodeSpread)
	require.True(t, ok)
	assert.Equal(t, calib.Note, f.Level)
}

func TestHowThePointsCame(t *testing.T) {
	for _, tc := range []struct {
		code  calib.Code
		spoil func(p *calib.Point)
		level calib.Level
	}{
		{calib.CodeSlow, func(p *calib.Point) { p.TauS = 35 }, calib.Remark},
		{calib.CodeSlow, func(p *calib.Point) { p.TailS = 35 }, calib.Note},
		{calib.CodeByHand, func(p *calib.Point) { p.ByHand = true }, calib.Remark},
		{calib.CodeExpired, func(p *calib.Point) { p.Expiry = "2026-10" }, calib.Remark},
		{calib.CodeExpired, func(p *calib.Point) { p.Expiry = "2026-11-23" }, calib.Remark},
	} {
		p := mvPoint(t, "4.01", 25, 0.99, 0)
		tc.spoil(&p)
		c := judged(t, nil, p, mvPoint(t, "7.00", 25, 0.99, 0))
		f, ok := finding(c, tc.code)
		require.True(t, ok, tc.code)
		assert.Equal(t, tc.level, f.Level)
	}
	p := mvPoint(t, "4.01", 25, 0.99, 0)
	for _, good := range []string{"", "2026-11", "2026-11-25", "2027-03-31"} {
		p.Expiry = good
		_, ok := finding(judged(t, nil, p, mvPoint(t, "7.00", 25, 0.99, 0)), calib.CodeExpired)
		assert.False(t, ok, good)
	}
	c := judged(t, nil, mvPoint(t, "4.01", 25, 0.99, 0), mvPoint(t, "7.01", 25, 0.99, 0))
	f, ok := finding(c, calib.CodeMemory)
	require.True(t, ok)
	assert.Contains(t, f.Text, "7.01")
	assert.Equal(t, calib.Accepted, c.Verdict)
	assert.True(t, calib.GoodExpiry("2027-03"))
	assert.False(t, calib.GoodExpiry("03/27"))
}

// A meter that sends only pH is checked, and its readings are not touched.
func TestOnlyPH(t *testing.T) {
	shown := func(name string, off float64) calib.Point {
		p := tablePoint(t, name, 25)
		ph := p.PH + off
		p.Shown = &ph
		return p
	}
	for _, tc := range []struct {
		off  float64
		want calib.Verdict
	}{{0.02, calib.Accepted}, {0.07, calib.WithRemark}, {0.12, calib.Refused}} {
		c := judged(t, nil, shown("4.01", 0.01), shown("7.00", tc.off))
		assert.Equal(t, tc.want, c.Verdict, "off by %g", tc.off)
		assert.True(t, c.Checks())
		f, ok := finding(c, calib.CodeOwnInternal)
		require.True(t, ok)
		assert.Contains(t, f.Text, "changes no reading")
		assert.True(t, math.IsNaN(c.Apply(0, 25)))
		_, ok = finding(c, calib.CodeSlope)
		assert.False(t, ok, "limits of an electrode are not those of a meter")
	}
	check := shown("7.00", 0.2)
	c := judged(t, &check, shown("4.01", 0), shown("10.01", 0))
	assert.Equal(t, calib.Refused, c.Verdict)
}

// Of values that were read off and typed nothing is known of what the meter sends.
func TestTypedPHSaysNothingOfWhatIsSent(t *testing.T) {
	shown := func(name string, typed bool) calib.Point {
		p := tablePoint(t, name, 25)
		ph := p.PH + 0.01
		p.Shown, p.Typed = &ph, typed
		return p
	}
	says := func(points ...calib.Point) string {
		f, ok := finding(judged(t, nil, points...), calib.CodeOwnInternal)
		require.True(t, ok)
		return f.Text
	}
	assert.Equal(t, "pH was typed and no mV: this is a check of the meter's own calibration, and changes no reading", says(shown("4.01", true), shown("7.00", true)))
	assert.Contains(t, says(shown("4.01", true), shown("7.00", false)), "the meter sends only pH", "one of them was sent")
	both := shown("7.00", false)
	mv := 0.0
	both.MV = &mv
	assert.Contains(t, says(shown("4.01", true), both), "pH was typed", "beside it mV were sent")
}

// A meter that sends both is calibrated by its mV; its own pH is noted.
func TestBoth(t *testing.T) {
	p, q := mvPoint(t, "4.01", 25, 0.97, 6), mvPoint(t, "7.00", 25, 0.97, 6)
	shown := p.PH + 0.3
	p.Shown = &shown
	c := judged(t, nil, p, q)
	assert.Equal(t, calib.SendsMV, c.Sends)
	assert.Equal(t, calib.Accepted, c.Verdict)
	f, ok := finding(c, calib.CodeShown)
	require.True(t, ok)
	assert.Equal(t, calib.Note, f.Level)
}

// Worked by hand: 96 % of 59.16 mV is 56.79 mV per pH at 25 °C; with +6 mV at
// pH 7 a potential of −107.6 mV is pH 7 + 113.6/56.79 = 9.000.
func TestApply(t *testing.T) {
	c := judged(t, nil, mvPoint(t, "7.00", 25, 0.96, 6), mvPoint(t, "10.01", 25, 0.96, 6))
	assert.InDelta(t, 9.000, c.Apply(-107.6, 25), 0.001)
	// At 5 °C the same electrode has 0.96 · 55.19 = 52.98 mV per pH.
	assert.InDelta(t, 7+113.6/52.98, c.Apply(-107.6, 5), 0.001)
	assert.True(t, math.IsNaN(calib.Calibration{Sends: calib.SendsMV}.Apply(0, 25)))
	assert.Contains(t, c.Summary(), "slope 96.0 ± 0.7 %, offset +6.0 ± 0.6 mV at 25.0 °C: accepted")
}

func TestNoMinusZero(t *testing.T) {
	c := judged(t, nil, mvPoint(t, "7.00", 25, 0.98, -0.04), mvPoint(t, "10.01", 25, 0.98, -0.04))
	assert.Contains(t, c.Summary(), "offset +0.0 ± ")
}

func TestJudgeRefuses(t *testing.T) {
	_, err := calib.Judge(about(), []calib.Point{mvPoint(t, "7.00", 25, 1, 0)}, nil)
	require.ErrorIs(t, err, calib.ErrPoints)
}

// Where a run goes by the mV, a display that is off is no reason to calibrate the meter with
// its keys; that the two will differ is said.
func TestADisplayBesideMV(t *testing.T) {
	at := func(name string, shown float64) calib.Point {
		p := mvPoint(t, name, 22, 0.96, 12)
		p.Shown = &shown
		return p
	}
	c := judged(t, nil, at("7.00", 6.82), at("10.01", 9.73))
	f, ok := finding(c, calib.CodeShown)
	require.True(t, ok)
	assert.Equal(t, calib.Note, f.Level)
	assert.Contains(t, f.Text, "off by -0.19")
	assert.Contains(t, f.Text, "; a run goes by its mV, and so shows otherwise than the display")
	assert.NotContains(t, f.Text, "with its own keys")
}

// What stands in the wrong beaker is put right there and not on the meter's keys; the
// liquid is called as in the set that is in use.
func TestAWrongBottleIsNoFaultOfTheMeter(t *testing.T) {
	liquid := tablePoint(t, "4.01", 21.3).PH
	shown := func(p calib.Point, ph float64) calib.Point {
		p.Shown = &ph
		return p
	}
	c := judged(t, nil, shown(put(tablePoint(t, "7.00", 21.3), liquid, 0.97, 4), 4.01), shown(mvPoint(t, "10.01", 21.3, 0.97, 4), 10.03))
	f, ok := finding(c, calib.CodeOther)
	require.True(t, ok, "%+v", c.Findings)
	assert.Contains(t, f.Text, "the beaker of 7.00 held 4.01: check the label")
	f, ok = finding(c, calib.CodeShown)
	require.True(t, ok)
	assert.Contains(t, f.Text, "off by -3.0")
	assert.NotContains(t, f.Text, "with its own keys")
}

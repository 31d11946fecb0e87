package calib_test

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/calib"
	"example.org/halfdrop/meter/calib/standards"
)

// pointOf is what an electrode shows at rest in a standard whose bottle is off by a
// little; the arithmetic is that of the bench, which shares none with the package.
func pointOf(t *testing.T, name string, slope, offset, off float64) calib.Point {
	t.Helper()
	s, err := standards.Find(name, standards.Technical)
	require.NoError(t, err)
	p, err := calib.NewPoint(s, 22)
	require.NoError(t, err)
	mv := offset - slope*ideal(22)*(p.PH+off-7)
	p.MV, p.SD, p.At = &mv, 0.004, noon
	return p
}

func inUse(t *testing.T, slope, offset float64) *calib.Calibration {
	t.Helper()
	c := judged(t, nil, pointOf(t, "7.00", slope, offset, 0), pointOf(t, "4.01", slope, offset, 0))
	return &c
}

// What an electrode has become since it was calibrated, and what is said of that at
// an aim between the standards or beyond them. The shift is arithmetic: an offset of
// 1 mV is 1/(slope × 58.56) pH at 22 °C.
func TestVerify(t *testing.T) {
	for _, tc := range []struct {
		name          string
		slope, offset float64 // now; calibrated were 97 % and +4 mV
		in            []string
		aim, tol      float64
		shift         float64
		verdict       calib.Verdict
		says          string
	}{
		{"as it was", 0.97, 4, []string{"7.00", "4.01"}, 6, 0.05, 0, calib.Accepted, "the calibration holds"},
		{"one standard, as it was", 0.97, 4, []string{"7.00"}, 6.5, 0.05, 0, calib.Accepted, "the calibration holds"},
		{"2 mV", 0.97, 6, []string{"7.00", "4.01"}, 6, 0.05, -2 / (0.97 * ideal(22)), calib.WithRemark, "calibrate again before the last additions"},
		{"5 mV", 0.97, 9, []string{"7.00", "4.01"}, 6, 0.05, -5 / (0.97 * ideal(22)), calib.Refused, "calibrate again"},
		{"5 mV, one standard", 0.97, 9, []string{"7.00"}, 7, 0.05, -5 / (0.97 * ideal(22)), calib.Refused, "calibrate again"},
		{"5 mV and a wide tolerance", 0.97, 9, []string{"7.00", "4.01"}, 6, 0.3, -5 / (0.97 * ideal(22)), calib.Accepted, "the calibration holds"},
		{"the slope fell, at the aim it is little", 0.93, 4, []string{"7.00", "4.01"}, 7, 0.05, 0, calib.WithRemark, "the calibration holds, with a remark"},
		{"the slope fell, far from 7", 0.93, 4, []string{"7.00", "4.01"}, 4.2, 0.05, (7 - 4.2) * (1 - 0.93/0.97), calib.Refused, "calibrate again"},
		{"tighter than standards are", 0.97, 4, []string{"7.00", "4.01"}, 6, 0.003, 0, calib.WithRemark, "too vague to say that the calibration holds"},
		{"dead", 0.02, 4, []string{"7.00", "4.01"}, 6, 0.05, math.NaN(), calib.Refused, "read alike"},
	} {
		var points []calib.Point
		for _, n := range tc.in {
			points = append(points, pointOf(t, n, tc.slope, tc.offset, 0))
		}
		v, err := calib.Verify(calib.Use{At: noon.Add(5 * time.Hour), Target: tc.aim, Tolerance: tc.tol}, inUse(t, 0.97, 4), points)
		require.NoError(t, err, tc.name)
		assert.Equal(t, tc.verdict, v.Verdict, "%s: %s", tc.name, v.Summary())
		assert.Contains(t, v.Summary(), tc.says, tc.name)
		if !math.IsNaN(tc.shift) {
			assert.InDelta(t, tc.shift, v.Shift, 0.003, tc.name)
		}
		assert.Equal(t, len(tc.in) > 1 && tc.slope > 0.5, v.SlopePct != 0, tc.name)
		if v.SlopePct != 0 {
			assert.InDelta(t, 100*tc.slope, v.SlopePct, 0.3, tc.name)
		}
		text, err := json.Marshal(v)
		require.NoError(t, err)
		back, err := calib.ReadVerification(text)
		require.NoError(t, err)
		assert.Equal(t, v.Summary(), back.Summary())
	}
	_, err := calib.Verify(calib.Use{}, nil, nil)
	assert.ErrorIs(t, err, calib.ErrNothingRead)
}

// The spread that is said of the shift holds what comes. Out of the bottles that it was
// calibrated in, what the labels are off by is no shift; out of others (another lot) it
// is in the spread. Of many checks of an electrode that has stayed as it was about one in
// twenty is beyond two of them, and none is sent back to be calibrated.
func TestVerifySpreadHolds(t *testing.T) {
	s := newStand(77, "mv")
	const n = 400
	for _, same := range []bool{true, false} {
		beyond, shifted := 0, 0
		var sd float64
		for range n {
			bottles := map[string]float64{}
			read := func(name, lot string) calib.Point {
				if _, ok := bottles[name+lot]; !ok {
					bottles[name+lot] = 0.01 * s.r.NormFloat64() // ±0.02 on the label
				}
				p := pointOf(t, name, 0.97, 4, bottles[name+lot]+math.Hypot(0.004, 0.002)*s.r.NormFloat64())
				p.Lot = lot
				return p
			}
			c := judged(t, nil, read("7.00", "A"), read("4.01", "A"))
			lot := map[bool]string{true: "A", false: "B"}[same]
			v, err := calib.Verify(calib.Use{At: noon, Target: 6, Tolerance: 0.05}, &c, []calib.Point{read("7.00", lot), read("4.01", lot)})
			require.NoError(t, err)
			sd = v.ShiftSD
			if math.Abs(v.Shift) > 2*v.ShiftSD {
				beyond++
			}
			if v.Verdict == calib.Refused {
				shifted++
			}
		}
		t.Logf("of one bottle %v: ± %.4f, %d of %d beyond two of them", same, sd, beyond, n)
		assert.InDelta(t, 0.05*n, beyond, 0.03*n, "of one bottle: %v", same)
		assert.LessOrEqual(t, shifted, n/100)
		assert.InDelta(t, map[bool]float64{true: 0.0049, false: 0.0117}[same], sd, 0.0002, "√(5/9) · √(2 · 0.004² + 0.003²)/0.97, of others with 2 · 0.010² beside")
	}
}

// In the record and before the end of a run a shift stands alone, without what was read in
// each standard before it: the sentence says by itself what was found, and by what.
func TestAShiftStandsAlone(t *testing.T) {
	v, err := calib.Verify(calib.Use{At: noon, Target: 7.2, Tolerance: 0.02}, inUse(t, 0.97, 4), []calib.Point{pointOf(t, "7.00", 0.97, 7.5, 0), pointOf(t, "4.01", 0.97, 7.5, 0)})
	require.NoError(t, err)
	doubts := v.Doubts()
	require.Len(t, doubts, 1)
	assert.Equal(t, calib.Stop, doubts[0].Level)
	assert.True(t, strings.HasPrefix(doubts[0].Text, "by the check in standards the pH is off by -0.06 ± "), doubts[0].Text)
	assert.True(t, strings.HasSuffix(doubts[0].Text, " at the aim, 7.20, where the tolerance is ±0.02: calibrate again"), doubts[0].Text)
	assert.Equal(t, "calibrate again", v.Words())
}

func TestNoMinusZeroOfAShift(t *testing.T) {
	v, err := calib.Verify(calib.Use{At: noon, Target: 6, Tolerance: 0.05}, inUse(t, 0.97, 4), []calib.Point{pointOf(t, "7.00", 0.97, 4.2, 0)})
	require.NoError(t, err)
	require.Less(t, v.Shift, 0.0)
	assert.Contains(t, v.Summary(), "off by +0.00 ± ")
	assert.NotContains(t, v.Summary(), "-0.00")
}

// A slope that has changed is seen in two portions of the bottles of the calibration,
// whatever the labels are off by: 1.2 % over three units are 2 mV.
func TestVerifySeesTheSlope(t *testing.T) {
	for _, tc := range []struct {
		slope float64
		lot   string
		want  calib.Level
	}{{0.97, "", calib.Pass}, {0.958, "", calib.Remark}, {0.958, "B", calib.Pass}} {
		c := judged(t, nil, pointOf(t, "7.00", 0.97, 4, 0.01), pointOf(t, "4.01", 0.97, 4, -0.01))
		for i := range c.Points {
			c.Points[i].Lot = "A"
		}
		a, b := pointOf(t, "7.00", tc.slope, 4, 0.01), pointOf(t, "4.01", tc.slope, 4, -0.01)
		a.Lot, b.Lot = tc.lot, tc.lot
		v, err := calib.Verify(calib.Use{At: noon, Target: 6, Tolerance: 0.05}, &c, []calib.Point{a, b})
		require.NoError(t, err)
		for _, f := range v.Findings {
			if f.Code == calib.CodeSlope {
				assert.Equal(t, tc.want, f.Level, "%v: %s", tc, f.Text)
			}
		}
	}
}

// A meter that sends pH is read as it shows, and its slope is that of its own line.
func TestVerifyAMeterThatShowsPH(t *testing.T) {
	shows := func(name string, by float64) calib.Point {
		p := pointOf(t, name, 1, 0, 0)
		x := p.PH + by
		p.MV, p.Shown = nil, &x
		return p
	}
	v, err := calib.Verify(calib.Use{At: noon, Target: 5, Tolerance: 0.05}, nil, []calib.Point{shows("4.01", 0.08), shows("7.00", 0.02)})
	require.NoError(t, err)
	assert.InDelta(t, 0.02+0.06*2/3, v.Shift, 0.005)
	assert.InDelta(t, 0.08, v.Seen[0].Shift, 1e-6)
	assert.InDelta(t, 98, v.SlopePct, 0.3, "0.06 pH in 3 that it shows too little")
	assert.Equal(t, calib.Refused, v.Verdict)
}

// A check that the calibration stood puts off the reminder of every few hours, says
// that it is no calibration, and changes nothing of the limits of a day.
func TestACheckIsNoCalibration(t *testing.T) {
	c := inUse(t, 0.97, 4)
	age := func(after, checked time.Duration) string {
		u := calib.Use{At: c.At.Add(after), Target: 6, Present: math.NaN(), TempC: 22}
		if checked > 0 {
			u.Checked = c.At.Add(checked)
		}
		for _, f := range c.For(u) {
			if f.Code == calib.CodeAge {
				return string(f.Level) + ": " + f.Text
			}
		}
		return ""
	}
	assert.Contains(t, age(5*time.Hour, 0), "note: calibrated 5 h ago: many laboratories would repeat it")
	assert.Equal(t, "note: calibrated 5 h ago, checked in standards 60 min ago: it held, which is not a new calibration", age(5*time.Hour, 4*time.Hour))
	assert.Contains(t, age(9*time.Hour, 4*time.Hour), "many laboratories would repeat it", "the check is five hours old")
	assert.Contains(t, age(13*time.Hour, 12*time.Hour), "remark: ")
	assert.Contains(t, age(25*time.Hour, 24*time.Hour), "stop: ")
}

// Where the limits of a check lie. A shift is one from two of its spreads on, as
// everywhere; a third of the tolerance is worth a word, all of it ends the calibration.
// One standard says nothing of the slope, which wanders by about a hundredth: three
// units away the shift is known to 0.03 at best. Without a tolerance it is that of a
// check standard, 0.05 (ASTM D1287).
func TestLimitsOfACheck(t *testing.T) {
	check := func(shift, aim, tol float64) calib.Verification { // in 7.00 alone
		t.Helper()
		c := inUse(t, 0.97, 4)
		p := pointOf(t, "7.00", 0.97, 4-shift*0.97*ideal(22), 0)
		v, err := calib.Verify(calib.Use{At: noon, Target: aim, Tolerance: tol}, c, []calib.Point{p})
		require.NoError(t, err)
		return v
	}
	at := 7.01
	sd := check(0, at, 0.1).ShiftSD
	assert.Equal(t, calib.Accepted, check(1.7*sd, at, 2.5*sd).Verdict, "it may be none")
	assert.Equal(t, calib.WithRemark, check(2.4*sd, at, 3.5*sd).Verdict, "it is one")
	assert.Equal(t, calib.Accepted, check(0.28*0.3, at, 0.3).Verdict)
	assert.Equal(t, calib.WithRemark, check(0.4*0.3, at, 0.3).Verdict)
	assert.Equal(t, calib.WithRemark, check(0.8*0.3, at, 0.3).Verdict)
	assert.Equal(t, calib.Refused, check(1.2*0.3, at, 0.3).Verdict)
	far := check(0, at-3, 0.1)
	assert.InDelta(t, 0.03, math.Sqrt(far.ShiftSD*far.ShiftSD-sd*sd), 0.005)
	assert.Equal(t, 0.05, check(0, at, 0).Tolerance)
}

// A mistake that is named goes first, and nobody is sent to clean an electrode that is
// not what is wrong; without one the electrode is what there is to look after.
func TestACauseGoesBeforeWhatToTry(t *testing.T) {
	swapped := []calib.Point{pointOf(t, "7.00", 0.98, 2, 0), pointOf(t, "4.01", 0.98, 2, 0)}
	swapped[0].MV, swapped[1].MV = swapped[1].MV, swapped[0].MV
	c := judged(t, nil, swapped...)
	require.Equal(t, calib.CodeSwapped, c.Findings[0].Code, c.Findings)
	for _, f := range c.Findings {
		assert.NotContains(t, f.Text, "clean and refill")
		assert.NotContains(t, f.Text, "renew the filling")
	}
	worn := judged(t, nil, pointOf(t, "7.00", 0.87, 33, 0), pointOf(t, "4.01", 0.87, 33, 0), pointOf(t, "10.01", 0.87, 33, 0))
	assert.Contains(t, worn.Findings[0].Text, "clean and refill the electrode")
	assert.Contains(t, worn.Findings[1].Text, "renew the filling")
}

// The spread that is said beside a check standard holds what comes: about one in twenty
// of those that are as their labels say reads further off than two of them.
func TestCheckStandardSpreadHolds(t *testing.T) {
	s := newStand(78, "mv")
	const n = 600
	beyond := 0
	for range n {
		read := func(name string) calib.Point {
			return pointOf(t, name, 0.97, 4, math.Hypot(0.01, 0.004)*s.r.NormFloat64())
		}
		check := read("4.01")
		c := judged(t, &check, read("7.00"), read("6.86"), read("3.78"))
		f, ok := finding(c, calib.CodeCheck)
		require.True(t, ok)
		_, after, _ := strings.Cut(f.Text, "off by ")
		var off, sd float64
		_, err := fmt.Sscanf(after, "%f ± %f", &off, &sd)
		require.NoError(t, err, f.Text)
		if math.Abs(off) > 2*sd {
			beyond++
		}
	}
	t.Logf("%d of %d beyond two spreads", beyond, n)
	assert.InDelta(t, 0.05*n, beyond, 0.03*n)
}

// What a standard is read as: by the line in use where there are mV; by the display of a meter
// that goes by its own calibration, also where it sends mV beside it; else by an ideal
// electrode.
func TestWhatAStandardIsReadAs(t *testing.T) {
	line := inUse(t, 0.97, 4)
	both := pointOf(t, "4.01", 0.97, 4, 0)
	shown := 4.05
	both.Shown = &shown
	alone := both
	alone.MV = nil
	of := func(c *calib.Calibration, p calib.Point) float64 {
		v, err := calib.Verify(calib.Use{At: noon, Target: 4, Tolerance: 0.05}, c, []calib.Point{p})
		require.NoError(t, err)
		return v.Seen[0].Read
	}
	other, seven := pointOf(t, "7.00", 0.97, 4, 0), 7.02
	other.MV, other.Shown = nil, &seven
	itself := judged(t, nil, alone, other)
	require.True(t, itself.Checks())
	mv := both
	mv.Shown = nil
	assert.InDelta(t, both.PH, of(line, both), 0.003, "the line")
	assert.InDelta(t, 4.05, of(line, alone), 1e-9, "no mV for the line")
	assert.InDelta(t, 4.05, of(&itself, both), 1e-9)
	assert.InDelta(t, 4.05, of(nil, both), 1e-9)
	assert.InDelta(t, 7-*both.MV/ideal(22), of(nil, mv), 0.002, "an ideal electrode")
}

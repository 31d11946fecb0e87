package calib_test

import (
	"encoding/json"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/calib"
)

func TestUse(t *testing.T) {
	c := judged(t, nil, mvPoint(t, "4.01", 22, 0.98, 2), mvPoint(t, "7.00", 22, 0.98, 2))
	nan := math.NaN()
	good := calib.Use{At: noon.Add(time.Hour), Electrode: "E1", Target: 5, Present: 5.1, TempC: 23}
	for _, tc := range []struct {
		name   string
		change func(u *calib.Use)
		code   calib.Code
		level  calib.Level
	}{
		{"5 h", func(u *calib.Use) { u.At = noon.Add(5 * time.Hour) }, calib.CodeAge, calib.Note},
		{"13 h", func(u *calib.Use) { u.At = noon.Add(13 * time.Hour) }, calib.CodeAge, calib.Remark},
		{"25 h", func(u *calib.Use) { u.At = noon.Add(25 * time.Hour) }, calib.CodeAge, calib.Stop},
		{"the clock", func(u *calib.Use) { u.At = noon.Add(-time.Hour) }, calib.CodeAge, calib.Remark},
		{"aim outside", func(u *calib.Use) { u.Target = 7.4 }, calib.CodeBracket, calib.Remark},
		{"aim outside at the end", func(u *calib.Use) { u.Target, u.Final = 7.4, true }, calib.CodeBracket, calib.Stop},
		{"reading outside at the end", func(u *calib.Use) { u.Present, u.Final = 3.9, true }, calib.CodeBracket, calib.Stop},
		{"warmer", func(u *calib.Use) { u.TempC = 26 }, calib.CodeMismatch, calib.Remark},
		{"much warmer", func(u *calib.Use) { u.TempC = 30 }, calib.CodeMismatch, calib.Remark},
		{"much warmer at the end", func(u *calib.Use) { u.TempC, u.Final = 30, true }, calib.CodeMismatch, calib.Stop},
		{"another electrode", func(u *calib.Use) { u.Electrode = "E2" }, calib.CodeElectrode, calib.Stop},
	} {
		u := good
		tc.change(&u)
		list := c.For(u)
		if assert.Len(t, list, 1, tc.name) {
			assert.Equal(t, tc.code, list[0].Code, tc.name)
			assert.Equal(t, tc.level, list[0].Level, tc.name)
			assert.NotEmpty(t, list[0].Basis, tc.name)
		}
	}
	assert.Empty(t, c.For(good))
	assert.Empty(t, c.For(calib.Use{At: noon, Target: nan, Present: nan, TempC: nan}), "what is not known is not complained about")
	u := good
	u.Present = 3.5
	assert.Empty(t, c.For(u), "on the way the present reading may lie outside")
	bad := judged(t, nil, mvPoint(t, "4.01", 22, 0.7, 2), mvPoint(t, "7.00", 22, 0.7, 2))
	require.NotEmpty(t, bad.For(good))
	assert.Equal(t, calib.CodeRefused, bad.For(good)[0].Code)
	bad.Override = "only this electrode is left"
	assert.Empty(t, bad.For(good))
	// A reason makes no line of what is none.
	none := judged(t, nil, mvPoint(t, "4.01", 22, 0.03, 2), mvPoint(t, "7.00", 22, 0.03, 2))
	none.Override = "in a hurry"
	assert.False(t, none.Usable())
	assert.False(t, none.Possible())
	assert.Equal(t, calib.CodeRefused, none.For(good)[0].Code)
}

// Without a calibration a pH that is sent is the meter's own; of mV alone nobody calibrated
// anything, and before a reading nobody knows which of the two it will be.
func TestUncalibratedSaysWhatThePHIs(t *testing.T) {
	for _, tc := range []struct {
		mv, ph bool
		want   string
	}{
		{false, true, "the pH rests on what the meter was calibrated with"},
		{true, true, "the pH rests on what the meter was calibrated with"},
		{true, false, "its mV become the pH of an ideal electrode; calibrate it in standards"},
		{false, false, "a pH that the meter sends rests on what the meter was calibrated with, mV become that of an ideal electrode"},
	} {
		f := calib.Uncalibrated(tc.mv, tc.ph)
		assert.Equal(t, calib.CodeNone, f.Code)
		assert.Equal(t, calib.Remark, f.Level)
		assert.Equal(t, "no calibration of this electrode is known: "+tc.want, f.Text)
	}
}

func TestJSONThereAndBack(t *testing.T) {
	check := mvPoint(t, "7.00", 25, 0.98, 4)
	c := judged(t, &check, mvPoint(t, "4.01", 25, 0.98, 4), mvPoint(t, "10.01", 25, 0.98, 4))
	b, err := json.Marshal(c)
	require.NoError(t, err)
	var back calib.Calibration
	require.NoError(t, json.Unmarshal(b, &back))
	assert.Equal(t, c, back)
}

// A calibration of two standards of ±0.010 is known to about 0.010 pH between them:
// a fifth of ±0.05 is passed over, half of ±0.02 is said, more than ±0.008 withholds
// the end.
func TestLooseForATolerance(t *testing.T) {
	c := judged(t, nil, mvPoint(t, "4.01", 22, 0.98, 2), mvPoint(t, "7.00", 22, 0.98, 2))
	require.InDelta(t, 0.010, c.SpreadAt(4.1, 22), 0.002)
	for tol, want := range map[float64]calib.Level{0.05: calib.Pass, 0.02: calib.Remark, 0.015: calib.Remark, 0.008: calib.Stop} {
		got := calib.Pass
		for _, f := range c.For(calib.Use{At: noon, Target: 4.1, Present: 4.1, TempC: 22, Final: true, Tolerance: tol}) {
			require.Equal(t, calib.CodeLoose, f.Code)
			got = f.Level
		}
		assert.Equal(t, want, got, "±%g", tol)
	}
	// What helps: a better reading where the readings were vague, other standards where not.
	says := func(sd float64) string {
		a, b := mvPoint(t, "4.01", 22, 0.98, 2), mvPoint(t, "7.00", 22, 0.98, 2)
		a.SD, b.SD = sd, sd
		list := judged(t, nil, a, b).For(calib.Use{At: noon, Target: 5.5, Present: math.NaN(), TempC: 22, Tolerance: 0.02})
		require.Len(t, list, 1)
		return list[0].Text
	}
	assert.Contains(t, says(0.025), "dip again, or take a third standard")
	assert.Contains(t, says(0.012), "dip again")
	assert.Contains(t, says(0.008), "a third standard, or primary ones, would do better")
}

// A clock may be a minute behind; minutes are said up to 100 of them, and hours up to 48.
func TestAges(t *testing.T) {
	c := judged(t, nil, mvPoint(t, "4.01", 22, 0.98, 2), mvPoint(t, "7.00", 22, 0.98, 2))
	dated := func(ahead time.Duration) []calib.Finding {
		return c.For(calib.Use{At: c.At.Add(-ahead), Electrode: "E1", Target: 5, Present: 5.1, TempC: 23})
	}
	assert.Empty(t, dated(55*time.Second))
	require.Len(t, dated(65*time.Second), 1)
	assert.Contains(t, dated(65 * time.Second)[0].Text, "check the clock")
	for d, want := range map[time.Duration]string{
		-time.Minute: "0 min", 20 * time.Minute: "20 min", 99 * time.Minute: "99 min", 100 * time.Minute: "2 h",
		47 * time.Hour: "47 h", 48 * time.Hour: "2 days", 60 * time.Hour: "2 days", 80 * time.Hour: "3 days",
	} {
		assert.Equal(t, want, calib.Ago(d), d.String())
	}
}

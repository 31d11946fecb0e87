package guard_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/frame"
	"example.org/halfdrop/meter/guard"
)

func TestGuard(t *testing.T) {
	for name, tt := range map[string]struct {
		lines []string
		want  []error
	}{
		"steady":                    {[]string{"pH 7.02", "pH 7.03", "pH 6.99"}, []error{nil, nil, nil}},
		"crossing ten":              {[]string{"9.99", "10.01"}, []error{nil, nil}},
		"lost digit":                {[]string{"pH 7.02", "pH 7.0", "pH 7.03"}, []error{nil, guard.ErrForm, nil}},
		"lost tail":                 {[]string{"pH 7.02 25.1 C", "pH 7.02", "pH 7.02 25", "pH 7.02 25.1 C"}, []error{nil, guard.ErrForm, guard.ErrForm, nil}},
		"new form believed":         {[]string{"7.02", "7.023", "7.022", "7.021", "7.021"}, []error{nil, guard.ErrForm, guard.ErrForm, nil, nil}},
		"two new forms by turns":    {[]string{"7.02", "7.023", "pH 7.02", "7.023", "pH 7.02", "7.023"}, []error{nil, guard.ErrForm, guard.ErrForm, guard.ErrForm, guard.ErrForm, guard.ErrForm}},
		"old form clears the rival": {[]string{"7.02", "7.023", "7.023", "7.02", "7.023"}, []error{nil, guard.ErrForm, guard.ErrForm, nil, guard.ErrForm}},
		"jump, not confirmed":       {[]string{"4.02", "14.02", "4.03"}, []error{nil, guard.ErrJump, nil}},
		"jump, confirmed":           {[]string{"4.02", "6.90", "6.95", "4.02"}, []error{nil, guard.ErrJump, nil, guard.ErrJump}},
		"two different jumps":       {[]string{"4.02", "9.00", "11.00", "4.02"}, []error{nil, guard.ErrJump, guard.ErrJump, nil}},
		"temperature jumps":         {[]string{"7.02 pH 25.1 C", "7.02 pH 55.1 C", "7.02 pH 25.1 C"}, []error{nil, guard.ErrJump, nil}},
		"without a name, first":     {[]string{"pH 7.02 25.1", "pH 7.02 25.1", "pH 7.02 25.1", "pH 7.02 25.1"}, []error{guard.ErrForm, guard.ErrForm, nil, nil}},
		"mV and pH by turns":        {[]string{"-1.2 mV", "7.02 pH", "-1.2 mV", "7.02 pH", "-1.2 mV", "7.02 pH", "-1.2 mV", "7.02 pH"}, []error{nil, guard.ErrForm, nil, guard.ErrForm, nil, nil, guard.ErrForm, nil}},
		"mV jump":                   {[]string{"-173.2 mV", "173.2 mV", "-173.4 mV"}, []error{nil, guard.ErrJump, nil}},
		"over range leaves none":    {[]string{"pH 7.02", "pH over", "pH 7.02"}, []error{nil, nil, nil}},
		"JSON drops zeros":          {[]string{`{"ph":7.02,"temp":25}`, `{"ph":7.1,"temp":25.1}`}, []error{nil, nil}},
		"JSON loses its key":        {[]string{`{"ph":7.02,"mv":1}`, `{"p":7.02,"mv":1}`}, []error{nil, guard.ErrForm}},
	} {
		t.Run(name, func(t *testing.T) {
			var g guard.Guard
			for i, line := range tt.lines {
				r, err := frame.Read([]byte(line))
				require.NoError(t, err)
				r.Reading.At = start.Add(time.Duration(i) * time.Second)
				err = g.Check(r)
				if tt.want[i] == nil {
					assert.NoError(t, err, line)
					continue
				}
				assert.ErrorIs(t, err, tt.want[i], line)
				assert.ErrorIs(t, err, meter.ErrNotReading)
			}
		})
	}
}

func TestGuardForgetsAfterALongSilence(t *testing.T) {
	var g guard.Guard
	r, err := frame.Read([]byte("4.02"))
	require.NoError(t, err)
	r.Reading.At = start
	require.NoError(t, g.Check(r))
	r.Reading.Value, r.Reading.At = 9, start.Add(29*time.Second)
	was := g
	assert.ErrorIs(t, was.Check(r), guard.ErrJump)
	r.Reading.At = start.Add(31 * time.Second)
	assert.NoError(t, g.Check(r))
}

// How far one line may lie from the one before. Where lines are dear, a pH or 60 mV for
// each second between them, four times that at the most, and 0.95 °C; a second and less apart, five times what the meter usually does, five of its
// last digits, and what endangers nothing, 0.03 pH or 2 mV, at the least.
func TestHowFarALineMayStep(t *testing.T) {
	for _, tc := range []struct {
		what, format string
		from, usual  float64 // it steps to and fro by so much
		every        time.Duration
		lines        int
		pass, refuse float64
	}{
		{"pH, seldom", "pH %.2f", 5, 0.01, 5 * time.Second, 12, 3.95, 4.05},
		{"mV, seldom", "%.1f mV", 50, 0.1, 5 * time.Second, 12, 238, 242},
		{"pH, each 2 s", "pH %.2f", 5, 0.01, 2 * time.Second, 12, 1.95, 2.05},
		{"pH, seldom, the second line", "pH %.2f", 5, 0, 5 * time.Second, 1, 3.95, 4.05},
		{"°C", "7.02 pH %.1f C", 25, 0, 5 * time.Second, 12, 0.9, 1.1},
		{"just often", "pH %.2f", 5, 0.01, 1400 * time.Millisecond, 12, 0.04, 0.08},
		{"just seldom", "pH %.2f", 5, 0.01, 1600 * time.Millisecond, 12, 1.55, 1.65},
		{"five of the last digits", "pH %.2f", 5, 0, time.Second, 12, 0.05, 0.06},
		{"0.03 pH", "pH %.3f", 5, 0.001, time.Second, 12, 0.028, 0.033},
		{"2 mV", "%.1f mV", 50, 0.1, time.Second, 12, 1.9, 2.3},
		{"five times the usual", "pH %.3f", 5, 0.02, time.Second, 12, 0.095, 0.105},
		{"usual after eight steps", "pH %.3f", 5, 0.02, time.Second, 9, 0.095, 0.2},
		{"not before", "pH %.3f", 5, 0.02, time.Second, 8, 0.2, 1.1},
	} {
		passes := func(step float64) bool {
			var g guard.Guard
			check := func(x float64, at time.Duration) error {
				r, err := frame.Read(fmt.Appendf(nil, tc.format, x))
				require.NoError(t, err)
				r.Reading.At = start.Add(at)
				return g.Check(r)
			}
			for i := range tc.lines {
				require.NoError(t, check(tc.from+tc.usual*float64(i%2), time.Duration(i)*tc.every), tc.what)
			}
			return check(tc.from+tc.usual*float64((tc.lines-1)%2)+step, time.Duration(tc.lines)*tc.every) == nil
		}
		assert.True(t, passes(tc.pass), "%s: %g", tc.what, tc.pass)
		assert.False(t, passes(tc.refuse), "%s: %g", tc.what, tc.refuse)
	}
}

package guard_test

import (
	"errors"
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"example.org/halfdrop/meter/frame"
	"example.org/halfdrop/meter/guard"
)

// judged feeds lines, an interval apart, and gives what a run would be handed:
// the value, the temperature with it, or the error.
func judged(j *guard.Judge, every time.Duration, lines ...string) (out []string) {
	var r frame.Reader
	for i, line := range lines {
		res, err := r.Read([]byte(line))
		res, err = j.Take(start.Add(time.Duration(i)*every), res, err)
		switch {
		case errors.Is(err, guard.ErrPrintout):
			out = append(out, "printout")
		case errors.Is(err, frame.ErrCalibration):
			out = append(out, "calibration")
		case errors.Is(err, guard.ErrCounting):
			out = append(out, "counting")
		case errors.Is(err, frame.ErrChannels):
			out = append(out, "channels")
		case errors.Is(err, guard.ErrOther):
			out = append(out, "other")
		case errors.Is(err, frame.ErrUnnamed):
			out = append(out, "unnamed")
		case err != nil:
			out = append(out, "refused")
		case res.Reading.HasTemp:
			out = append(out, fmt.Sprintf("%.2f at %.1f", res.Reading.Value, res.Reading.TempC))
		default:
			out = append(out, fmt.Sprintf("%.2f", res.Reading.Value))
		}
	}
	return out
}

// temperatures counts the readings that carry a temperature.
func temperatures(format string, n int, every time.Duration, temp func(t float64) float64) (with, readings int, j guard.Judge) {
	var lines []string
	for i := range n {
		lines = append(lines, fmt.Sprintf(format, temp(every.Seconds()*float64(i))))
	}
	var r frame.Reader
	for i, line := range lines {
		res, err := r.Read([]byte(line))
		if res, err = j.Take(start.Add(time.Duration(i)*every), res, err); err == nil {
			readings++
			if res.Reading.HasTemp {
				with++
			}
		}
	}
	return with, readings, j
}

// What is called a temperature and does not behave as one is never handed on.
func TestATemperatureThatIsNone(t *testing.T) {
	const label, unit = "T %.1f pH 7.02", "pH 7.02 %.1f C"
	for name, tt := range map[string]struct {
		format string
		every  time.Duration
		temp   func(t float64) float64
		most   int // that the meter's own °C is believed before something speaks against it
	}{
		"seconds, as in the finding":      {label, time.Second, func(t float64) float64 { return 20.5 + t }, 0},
		"seconds, ten lines a second":     {label, 100 * time.Millisecond, func(t float64) float64 { return 20.5 + t }, 0},
		"minutes with two decimals":       {"T %.2f pH 7.02", time.Second, func(t float64) float64 { return 10 + t/60 }, 0},
		"minutes, slow meter":             {label, 10 * time.Second, func(t float64) float64 { return 10 + t/60 }, 0},
		"a burette that runs":             {label, time.Second, func(t float64) float64 { return 5 + t/20 }, 0},
		"a burette read downwards":        {label, time.Second, func(t float64) float64 { return 55 - t/20 }, 0},
		"seconds that are called Celsius": {unit, time.Second, func(t float64) float64 { return 20.5 + t }, 1},
		"to and fro":                      {unit, time.Second, func(t float64) float64 { return 20 + 15*float64(int(t)/4%2) }, 4},
		"Fahrenheit without its name":     {label, time.Second, func(t float64) float64 { return 77.2 }, 0},
	} {
		with, readings, j := temperatures(tt.format, 300, tt.every, tt.temp)
		assert.LessOrEqual(t, with, tt.most, "%s: %d readings, %q", name, readings, j.Warmth())
	}
}

// The temperature of a beaker is handed on, after a while in which it proves itself.
func TestATemperatureThatIsOne(t *testing.T) {
	wobble := func(t float64) float64 { return 0.1 * float64(int(t*7)%3%2) }
	for name, tt := range map[string]struct {
		format string
		every  time.Duration
		temp   func(t float64) float64
		least  int // of 300 readings
	}{
		"constant":                  {"pH 7.02 %.1f C", time.Second, func(float64) float64 { return 25.1 }, 296},
		"constant, label only":      {"pH=7.02 T=%.1f", time.Second, func(float64) float64 { return 25.1 }, 280},
		"wobbling":                  {"pH 7.02 %.1f C", time.Second, func(t float64) float64 { return 25 + wobble(t) }, 296},
		"ten a second":              {"pH 7.02 %.1f C", 100 * time.Millisecond, func(t float64) float64 { return 25 + wobble(t) }, 259},
		"one in ten seconds":        {"pH 7.02 %.1f C", 10 * time.Second, func(t float64) float64 { return 25 + wobble(t) }, 298},
		"a beaker from a cold room": {"pH 7.02 %.1f C", time.Second, func(t float64) float64 { return 4 + 17*t/3600 }, 296},
		"a hand-warm one cools":     {"pH 7.02 %.2f C", time.Second, func(t float64) float64 { return 37 - 15*t/3600 }, 296},
		"warm by a strong addition": {"pH 7.02 %.1f C", time.Second, func(t float64) float64 { return 21 + 4.5*min(1, max(0, t-100)/10) }, 260},
		"Fahrenheit":                {"pH 7.02 %.1f F", time.Second, func(float64) float64 { return 77.2 }, 296},
		"Kelvin":                    {"pH 7.02 %.1f K", time.Second, func(float64) float64 { return 298.2 }, 296},
	} {
		with, readings, j := temperatures(tt.format, 300, tt.every, tt.temp)
		assert.GreaterOrEqual(t, with, tt.least, "%s: of %d readings; %q", name, readings, j.Warmth())
	}
}

// One that jumps is none until it has kept still for a while.
func TestATemperatureThatJumpsComesBack(t *testing.T) {
	with, readings, j := temperatures("pH 7.02 %.1f C", 60, time.Second, func(t float64) float64 {
		if t >= 20 {
			return 31.5
		}
		return 25.1
	})
	assert.Equal(t, 58, readings, "the jump waits for two lines that confirm it")
	assert.Equal(t, 20+18, with)
	assert.Empty(t, j.Warmth())
}

func TestChannelsAreKeptApart(t *testing.T) {
	for name, tt := range map[string]struct {
		channel string
		lines   []string
		want    []string
	}{
		"two, alternating":       {"", []string{"CH1 7.02", "CH2 6.50", "CH1 7.02", "CH2 6.51"}, []string{"7.02", "channels", "channels", "channels"}},
		"two, the first chosen":  {"1", []string{"CH1 7.02", "CH2 6.50", "CH1 7.03", "CH2 6.51"}, []string{"7.02", "other", "7.03", "other"}},
		"two, the second chosen": {"2", []string{"CH1 7.02", "CH2 6.50", "CH1 7.03", "CH2 6.51"}, []string{"other", "6.50", "other", "6.51"}},
		"only one":               {"", []string{"CH1 7.02", "CH1 7.03"}, []string{"7.02", "7.03"}},
		"letters":                {"B", []string{"channel A 7.02 pH", "channel B 6.50 pH"}, []string{"other", "6.50"}},
		"both on a line":         {"", []string{"CH1 7.02 CH2 6.50", "pH1 7.02 pH2 6.50"}, []string{"channels", "channels"}},
		"numbers in front":       {"", []string{"1,7.02,pH", "2,6.50,pH", "1,7.02,pH", "2,6.50,pH"}, []string{"7.02", "counting", "channels", "channels"}},
		"chosen by its number":   {"2", []string{"1,7.02,pH", "2,6.50,pH"}, []string{"other", "6.50"}},
		"always the same number": {"", []string{"1,7.02,pH", "1,7.03,pH", "1,7.02,pH"}, []string{"7.02", "7.03", "7.02"}},
		"a count": {"", []string{"#1 7.02 pH", "#2 7.02 pH", "#3 7.02 pH", "#4 7.02 pH", "#5 7.02 pH", "#6 7.02 pH", "#7 7.02 pH", "#8 7.02 pH", "#9 7.02 pH", "#10 7.02 pH"},
			[]string{"7.02", "counting", "counting", "counting", "counting", "counting", "counting", "counting", "7.02", "7.02"}},
		"a number behind": {"", []string{"pH 7.02 1", "pH 7.02 1", "pH 7.02 1", "pH 6.50 2", "pH 7.02 1", "pH 6.50 2"}, []string{"refused", "refused", "7.02", "counting", "channels", "channels"}},
		"a count far on":  {"", []string{"0041,7.02,pH", "0042,7.02,pH"}, []string{"7.02", "7.02"}},
		"three channels":  {"", []string{"1 pH 7.02", "2 pH 6.50", "3 pH 4.00", "1 pH 7.02"}, []string{"7.02", "counting", "counting", "channels"}},
		"none named":      {"2", []string{"7.02 pH"}, []string{"other"}},
	} {
		assert.Equal(t, tt.want, judged(&guard.Judge{Channel: tt.channel}, time.Second, tt.lines...), name)
	}
}

// A display on hold is no damage to the line, and what to do about it is said.
func TestADisplayOnHold(t *testing.T) {
	var j guard.Judge
	var r frame.Reader
	for i := range 20 {
		res, err := r.Read([]byte("pH 2.83 22.0 C"))
		_, err = j.Take(start.Add(time.Duration(i)*time.Second), res, err)
		assert.NoError(t, err)
	}
	line := []byte("pH 2.83 22.0 C HOLD")
	res, err := r.Read(line)
	_, err = j.Take(start.Add(20*time.Second), res, err)
	assert.ErrorIs(t, err, frame.ErrHeld)
	assert.Equal(t, guard.Known, j.Worth(line, err))
	assert.Contains(t, guard.Remedy(err), "release it on the meter")
}

// The rows of a calibration printout are no readings, whatever they look like.
func TestPrintoutIsNoReading(t *testing.T) {
	lines := []string{"--- CALIBRATION ---", "25-Nov-2026 10:15", "Buffer 1 pH 4.01 25.0 C", "pH 4.01 171.2 mV 25.0 C", "pH 7.00 -1.2 mV 25.0 C", "Slope 98.5 %", "Offset -3.2 mV"}
	var j guard.Judge
	for _, got := range judged(&j, 100*time.Millisecond, lines...) {
		assert.Contains(t, []string{"calibration", "printout", "refused"}, got)
	}
	var after guard.Judge
	got := judged(&after, time.Second, append(lines, "pH 5.24", "pH 5.24", "pH 5.24", "pH 5.24")...)
	assert.Equal(t, []string{"printout", "printout", "5.24", "5.24"}, got[len(got)-4:])
}

func TestWorth(t *testing.T) {
	var j guard.Judge
	judged(&j, time.Second, "pH 7.02 25.1 C", "pH 7.03 25.1 C")
	worth := func(line string) guard.Worth {
		_, err := frame.Read([]byte(line))
		if err == nil {
			err = guard.ErrForm
		}
		return j.Worth([]byte(line), err)
	}
	for _, line := range []string{"pH 7.x2 25.1 C", "2 25.1 C", "pH 7.02 2", "pH 7\xff02 25.1 C", "7.02 25.1 CpH 7.03 25.1 C"} {
		assert.Equal(t, guard.Damaged, worth(line), "%q", line)
	}
	for range 2 {
		assert.Equal(t, guard.Foreign, worth("Operator: bench 2 of the field station"))
	}
	assert.Equal(t, guard.Known, worth("Operator: bench 3 of the field station"))
}

package guard_test

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"example.org/halfdrop/meter/frame"
	"example.org/halfdrop/meter/guard"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// From where on a temperature is one, and until when. A number that only a label calls
// so has to keep within half a degree for 20 s, three readings at the least, and may run
// one way by less than 0.2 °C meanwhile; one that runs one way by 0.75 °C in a minute is
// none. Where the line says °C it is believed, unless it runs by 15 °C.
func TestWhereATemperatureBegins(t *testing.T) {
	const label, unit = "T %.3f pH 7.02", "pH 7.02 %.3f C"
	rises := func(perMinute float64) func(float64) float64 {
		return func(t float64) float64 { return 21 + perMinute/60*t }
	}
	sways := func(by float64) func(float64) float64 {
		return func(t float64) float64 { return 21 + by*float64(int(t)%2) }
	}
	for _, tt := range []struct {
		what   string
		format string
		every  time.Duration
		temp   func(t float64) float64
		with   int // of 120
	}{
		{"a label", label, time.Second, rises(0), 100},
		{"a label, each half minute", label, 30 * time.Second, rises(0), 118},
		{"sways by 0.4", label, time.Second, sways(0.4), 100},
		{"sways by 0.6", label, time.Second, sways(0.6), 0},
		{"runs by 0.17 in 20 s", label, time.Second, rises(0.51), 100},
		{"runs by 0.22 in 20 s", label, time.Second, rises(0.66), 0},
		{"°C, runs by 0.7 a minute", unit, time.Second, rises(0.7), 120},
		{"a label, runs by 0.45 a minute", label, time.Second, rises(0.45), 100},
		{"°C, runs by 7 a minute", unit, time.Second, rises(7), 120}, // half a mole of base in a litre
		{"°C, runs by 14 a minute", unit, time.Second, rises(14), 120},
		{"°C, runs by 16 a minute", unit, time.Second, rises(16), 57}, // 15 of it in 56 s
		{"°C, seconds", unit, time.Second, rises(60), 1},
	} {
		with, _, j := temperatures(tt.format, 120, tt.every, tt.temp)
		assert.Equal(t, tt.with, with, "%s; %q", tt.what, j.Warmth())
	}
}

// After two minutes without a line it is watched anew: what it is now is no jump.
func TestATemperatureAfterASilence(t *testing.T) {
	for silence, believed := range map[time.Duration]bool{110 * time.Second: false, 130 * time.Second: true} {
		var j guard.Judge
		var r frame.Reader
		last := false
		for i := range 22 {
			at, temp := start.Add(time.Duration(i)*time.Second), 25.0
			if i > 19 {
				at, temp = at.Add(silence), 31.0
			}
			res, err := r.Read(fmt.Appendf(nil, "pH 7.02 %.1f C", temp))
			res, err = j.Take(at, res, err)
			require.True(t, err == nil || errors.Is(err, guard.ErrJump), "%v", err)
			last = err == nil && res.Reading.HasTemp
		}
		assert.Equal(t, believed, last, silence)
	}
}

// What a meter usually does follows what it has done lately, a tenth of each step: ten
// quiet lines after steps of 0.02 make 0.002 + 0.018 · 0.9¹⁰ = 0.0083 of it, and five
// times that pass.
func TestTheUsualStepFollows(t *testing.T) {
	for step, passes := range map[float64]bool{0.039: true, 0.044: false} {
		var g guard.Guard
		ph := 5.0
		for i := range 24 {
			switch {
			case i == 23:
				ph += step
			case i > 12:
				ph += 0.002 * float64(1-2*(i%2))
			case i > 0:
				ph += 0.02 * float64(1-2*(i%2))
			}
			r, err := frame.Read(fmt.Appendf(nil, "pH %.3f", ph))
			require.NoError(t, err)
			r.Reading.At = start.Add(time.Duration(i) * time.Second)
			if err = g.Check(r); i < 23 {
				require.NoError(t, err, i)
			}
			if i == 23 {
				assert.Equal(t, passes, err == nil, "%g", step)
			}
		}
	}
}

// A line that resembles a reading and comes again and again belongs to the meter when it
// is one in six or more; less often it is damage.
func TestHowOftenALineBelongs(t *testing.T) {
	for good, want := range map[int]guard.Worth{18: guard.Known, 19: guard.Damaged} {
		var j guard.Judge
		var lines []string
		for range good {
			lines = append(lines, "pH 7.02 25.1 C")
		}
		judged(&j, time.Second, lines...)
		line := []byte("pH 7.02 25.1 D")
		_, err := frame.Read(line)
		require.Error(t, err)
		got := guard.Foreign
		for range 3 {
			got = j.Worth(line, err)
		}
		assert.Equal(t, want, got, "three among %d", good)
	}
}

// What a real meter does on a sound line costs the guard next to nothing: an
// addition of 2 pH costs two lines at the most, whatever the electrode; noise
// and drift cost none; a meter that sends seldom loses none to a usual step.
func TestGuardLetsRealMovesPass(t *testing.T) {
	for _, tt := range []struct {
		every         time.Duration
		tau, mix      float64 // s
		step, noise   float64 // pH
		mostOfTheStep int     // lines refused in the minute after it
	}{
		{500 * time.Millisecond, 2, 1, 2, 0.002, 2},
		{500 * time.Millisecond, 10, 1, 2, 0.002, 2},
		{500 * time.Millisecond, 40, 2, 2, 0.002, 2},
		{100 * time.Millisecond, 5, 1, 2, 0.001, 2},
		{time.Second, 3, 1, 2, 0.01, 2},
		{time.Second, 3, 1, -0.3, 0.02, 2},
		{time.Second, 8, 3, 5, 0.005, 3},
		// An electrode that is put from a standard into the beaker goes fastest at first.
		{time.Second, 1, 0.01, -4.8, 0.002, 3},
		{time.Second, 3, 0.01, -4.8, 0.002, 3},
		{time.Second, 8, 0.01, -4.8, 0.002, 3},
		{500 * time.Millisecond, 2, 0.01, 5, 0.002, 3},
		{5 * time.Second, 8, 1, 0.9, 0.005, 0},
		{5 * time.Second, 3, 1, 3.5, 0.005, 0},
		{10 * time.Second, 8, 1, 2, 0.005, 0},
	} {
		t.Run(fmt.Sprintf("%v tau %g step %g noise %g", tt.every, tt.tau, tt.step, tt.noise), func(t *testing.T) {
			rng := rand.New(rand.NewPCG(9, 9))
			var g guard.Guard
			rest, moving := 0, 0
			for at := time.Duration(0); at < 180*time.Second; at += tt.every {
				s := at.Seconds() - 120
				ph := 5 + tt.noise*rng.NormFloat64()
				if s > 0 {
					ph += tt.step * (1 - (tt.tau*math.Exp(-s/tt.tau)-tt.mix*math.Exp(-s/tt.mix))/(tt.tau-tt.mix))
				}
				r, err := frame.Read([]byte(fmt.Sprintf("pH %.2f 25.1 C", ph)))
				assert.NoError(t, err)
				r.Reading.At = start.Add(at)
				if g.Check(r) == nil {
					continue
				}
				if s > 0 {
					moving++
				} else {
					rest++
				}
			}
			assert.Zero(t, rest, "at rest")
			assert.LessOrEqual(t, moving, tt.mostOfTheStep)
		})
	}
}

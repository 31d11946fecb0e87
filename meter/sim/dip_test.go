package sim_test

import (
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/frame"
	"example.org/halfdrop/meter/sim"
)

func probed(t *testing.T, sends sim.Sends, change func(*sim.Truth)) (*sim.Bench, *sim.Clock) {
	t.Helper()
	setup := plan(t)
	truth := sim.DefaultTruth(setup, 5)
	truth.Tau, truth.Noise, truth.Offset, truth.Slope, truth.Decimals = 4, 0, 0.05, -0.02, 3
	if change != nil {
		change(&truth)
	}
	b, err := sim.New(setup, truth)
	require.NoError(t, err)
	clock := sim.NewClock(1)
	b.Wire(clock, sends)
	return b, clock
}

// now is a reading at the time of the clock.
func now(b *sim.Bench, clock *sim.Clock) meter.Reading {
	b.Advance(clock.Seconds())
	return b.Sample()
}

// In a standard the electrode comes to what the meter makes of its pH, with
// the time constant of the electrode, and back in the beaker to the beaker's.
func TestElectrodeMoves(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b, clock := probed(t, sim.SendPH, nil)
		time.Sleep(2 * time.Minute)
		beaker := now(b, clock).Value
		assert.InDelta(t, b.Shown(), beaker, 0.0006)
		b.Into(7.02)
		assert.False(t, b.InBeaker())
		assert.InDelta(t, beaker, now(b, clock).Value, 0.0006, "nothing jumps")
		end := 7.02 + 0.05 - 0.02*0.02
		time.Sleep(4 * time.Second)
		assert.InDelta(t, end+(beaker-end)*0.36788, now(b, clock).Value, 0.001)
		time.Sleep(time.Minute)
		assert.InDelta(t, end, now(b, clock).Value, 0.0006)
		b.Rinse()
		time.Sleep(5 * time.Minute)
		assert.InDelta(t, 5.8+0.05+0.02*1.2, now(b, clock).Value, 0.001)
		b.Back()
		assert.True(t, b.InBeaker())
		time.Sleep(2 * time.Minute)
		back := now(b, clock).Value
		assert.InDelta(t, b.Shown(), back, 0.0006)
	})
}

// The mV are those of the electrode before any calibration: slope 98 % of
// 59.16 mV at 25 °C, and −0.05 pH as offset.
func TestElectrodeSendsMV(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b, clock := probed(t, sim.SendMV, func(tr *sim.Truth) { tr.Temp = 25 })
		b.Into(4.00)
		time.Sleep(5 * time.Minute)
		r := now(b, clock)
		assert.Equal(t, meter.Millivolt, r.Quantity)
		assert.InDelta(t, 59.16*(0.98*3-0.05), r.Value, 0.06)
	})
}

// Every line that it sends is read back as it was meant.
func TestElectrodeLinesAreRead(t *testing.T) {
	for _, sends := range []sim.Sends{sim.SendPH, sim.SendMV, sim.SendBoth} {
		for _, temp := range []bool{true, false} {
			b, clock := probed(t, sends, func(tr *sim.Truth) { tr.TempSent = temp })
			want := now(b, clock)
			got, err := frame.Read([]byte(want.Raw))
			require.NoError(t, err, want.Raw)
			assert.Equal(t, want.Value, got.Reading.Value, want.Raw)
			assert.Equal(t, want.Quantity, got.Reading.Quantity, want.Raw)
			assert.Equal(t, want.HasMV, got.Reading.HasMV, want.Raw)
			assert.Equal(t, want.HasTemp, got.Reading.HasTemp, want.Raw)
		}
	}
}

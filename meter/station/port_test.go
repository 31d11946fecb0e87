//go:build linux || darwin

package station_test

import (
	"context"
	"io"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/meter/station"
	"example.org/halfdrop/meter/station/stationtest"
)

// The coach in one window, the beaker in the other: the way of a titration
// over the serial port, from the first reading to the stop. Both run twenty
// times as fast, on one clock.
func TestTitrateOverThePort(t *testing.T) {
	t.Parallel() // it mostly waits
	w := stationtest.Open(t, stationtest.Demo(t, sim.SendPH, 20), 25*time.Millisecond)
	source, err := serial.Open(serial.Config{Name: w.Path})
	require.NoError(t, err)
	plan, err := planfile.Decode("built-in plan", planfile.Demo)
	require.NoError(t, err)
	start := time.Now()
	first, err := keep.Begin(plan, start, keep.Origin{Program: "test", Source: source.String()})
	require.NoError(t, err)
	keeper, err := keep.NewKeeper(first, &keep.Discard{}, func(s float64) time.Time { return start.Add(time.Duration(s * 1e9)) })
	require.NoError(t, err)
	last, additions := w.Titrate(t, keeper, source)
	made := w.Bench.MadeUp()
	t.Logf("%d additions in %.0f simulated s; made up it would read %.3f, wanted %.2f ± %.2f", additions, last.T, made, last.Target, last.Tolerance)
	assert.InDelta(t, last.Target, made, last.Tolerance+0.01)
	assert.Equal(t, meter.Live.String(), last.Link)
	assert.Zero(t, last.Refused)
}

// Nobody listens for a long time, then somebody does: no old line comes first,
// and the meter never waited.
func TestPortThatNobodyReads(t *testing.T) {
	w := stationtest.Open(t, stationtest.Demo(t, sim.SendPH, 1), 10*time.Millisecond)
	port, err := station.OpenPort("")
	require.NoError(t, err)
	full := false
	for n := 0; n < 50_000 && !full; n++ {
		began := time.Now()
		_, err := io.WriteString(port, "pH 7.02 25.1 C and then some\r\n")
		require.NoError(t, err)
		full = time.Since(began) >= station.WriteWait
	}
	assert.True(t, full, "the line was never full")
	require.NoError(t, port.Close())
	require.NoError(t, port.Close(), "twice is once")
	source, err := serial.Open(serial.Config{Name: w.Path})
	require.NoError(t, err)
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
	defer cancel()
	reports := make(chan meter.Report)
	go func() { _ = source.Run(ctx, reports) }()
	for rep := range reports {
		if rep.Kind == meter.GotReading {
			assert.False(t, math.IsNaN(rep.Reading.Value))
			return
		}
		if rep.Kind == meter.GotBadLine {
			assert.ErrorContains(t, rep.Err, "beginning", "a port is opened in the middle of a line")
		}
	}
}

func TestLinks(t *testing.T) {
	dir := t.TempDir()
	file, old := filepath.Join(dir, "file"), filepath.Join(dir, "old")
	require.NoError(t, os.WriteFile(file, []byte("mine"), 0o600))
	_, err := station.OpenPort(file)
	require.ErrorContains(t, err, "is not a link")
	kept, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, "mine", string(kept))
	require.NoError(t, os.Symlink("/nowhere", old))
	p, err := station.OpenPort(old)
	require.NoError(t, err)
	assert.Equal(t, old, p.Name())
	require.NoError(t, os.Remove(old))
	require.NoError(t, os.Symlink("/elsewhere", old))
	require.NoError(t, p.Close())
	to, err := os.Readlink(old)
	require.NoError(t, err)
	assert.Equal(t, "/elsewhere", to, "the link of somebody else stays")
}

//go:build unix

package serial_test

import (
	"context"
	"fmt"
	"os"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/meter/serial/serialtest"
)

// follow runs a source and gives its reports; end stops it and waits for it.
func follow(t *testing.T, s *serial.Source) (reports chan meter.Report, end func()) {
	t.Helper()
	reports = make(chan meter.Report)
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- s.Run(ctx, reports) }()
	ended := false
	end = func() {
		if ended {
			return
		}
		ended = true
		cancel()
		before := time.Now()
		assert.ErrorIs(t, <-done, context.Canceled)
		assert.Less(t, time.Since(before), 100*time.Millisecond, "Run must obey at once")
	}
	t.Cleanup(end)
	return reports, end
}

func lineOf(format string) func() string {
	ph := 7.02
	return func() string {
		ph += 0.001
		return fmt.Sprintf(format, ph)
	}
}

func TestThreeKindsOfLinesCutAndRestored(t *testing.T) {
	for _, format := range []string{"pH %.3f 25.1 C\r\n", "%.2f pH,25.1 C\r\n", "+0%.3f pH\r\n"} {
		t.Run(strings.TrimSpace(format), func(t *testing.T) {
			t.Parallel()
			m := serialtest.Plug(t)
			m.Stream(50*time.Millisecond, lineOf(format))
			s, err := serial.Open(serial.Config{Name: m.Path(), Retry: 50 * time.Millisecond, Quiet: 500 * time.Millisecond})
			require.NoError(t, err)
			reports, _ := follow(t, s)
			serialtest.Await(t, reports, "opening", serialtest.Link(meter.Opening))
			serialtest.Await(t, reports, "live", serialtest.Link(meter.Live))
			r := serialtest.Await(t, reports, "a reading", serialtest.Reading).Reading
			assert.InDelta(t, 7.1, r.Value, 0.1)
			assert.Contains(t, m.Sent(), r.Raw+"\r\n")

			require.NoError(t, m.Cut())
			lost := serialtest.Await(t, reports, "lost", serialtest.Link(meter.Lost))
			assert.Contains(t, lost.Text, m.Path())
			assert.Error(t, lost.Err)
			require.NoError(t, m.Restore())
			serialtest.Await(t, reports, "live again", serialtest.Link(meter.Live))
			r = serialtest.Await(t, reports, "a reading", serialtest.Reading).Reading
			assert.Contains(t, m.Sent(), r.Raw+"\r\n")

			m.Silence()
			quiet := serialtest.Await(t, reports, "quiet", serialtest.Link(meter.Quiet))
			assert.Contains(t, quiet.Text, "nothing arrives from the meter")
			m.Stream(50*time.Millisecond, lineOf(format))
			serialtest.Await(t, reports, "live after silence", serialtest.Link(meter.Live))
		})
	}
}

// Fifty times unplugged and plugged in again: fifty recoveries, every reading
// one that was sent, nothing left behind.
func TestFiftyTimesUnplugged(t *testing.T) {
	m := serialtest.Plug(t)
	routines, files := runtime.NumGoroutine(), descriptors(t)
	m.Stream(10*time.Millisecond, lineOf("pH %.3f 25.1 C\r\n"))
	s, err := serial.Open(serial.Config{Name: m.Path(), Retry: 10 * time.Millisecond})
	require.NoError(t, err)
	reports, end := follow(t, s)
	readings := 0
	count := func(fits func(meter.Report) bool) func(meter.Report) bool {
		return func(r meter.Report) bool {
			if serialtest.Reading(r) {
				readings++
				assert.Contains(t, m.Sent(), r.Reading.Raw+"\r\n")
			}
			return fits(r)
		}
	}
	serialtest.Await(t, reports, "live", count(serialtest.Link(meter.Live)))
	for i := range 50 {
		serialtest.Await(t, reports, "a reading", count(serialtest.Reading))
		require.NoError(t, m.Cut())
		serialtest.Await(t, reports, fmt.Sprintf("lost %d", i), count(serialtest.Link(meter.Lost)))
		require.NoError(t, m.Restore())
		serialtest.Await(t, reports, fmt.Sprintf("live %d", i), count(serialtest.Link(meter.Live)))
	}
	end()
	t.Logf("50 recoveries, %d readings, all of them sent", readings)
	m.Silence()
	settle(func() bool { return runtime.NumGoroutine() <= routines })
	assert.LessOrEqual(t, runtime.NumGoroutine(), routines, "goroutines left behind")
	assert.Equal(t, files, descriptors(t), "descriptors left behind")
}

// settle gives goroutines that have been told to end the time to do so.
func settle(done func() bool) {
	for range 100 {
		if done() {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
}

// descriptors is the number of open files of this process.
func descriptors(t *testing.T) int {
	t.Helper()
	entries, err := os.ReadDir("/proc/self/fd")
	if err != nil {
		t.Log("SKIPPED: descriptors cannot be counted without /proc/self/fd")
		return 0
	}
	return len(entries)
}

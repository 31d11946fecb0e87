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

// plug plugs a fake meter in for one test.
func plug(t *testing.T) *serialtest.Meter {
	t.Helper()
	m, err := serialtest.New(t.TempDir())
	if err != nil {
		t.Skipf("NOT RUN: nothing was tried over a serial line, for there is no pseudo-terminal here: %v", err)
	}
	t.Cleanup(func() { assert.NoError(t, m.Close()) })
	return m
}

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

// await takes reports until one fits, and fails after a while.
func await(t *testing.T, reports chan meter.Report, within time.Duration, what string, fits func(meter.Report) bool) meter.Report {
	t.Helper()
	limit := time.After(within)
	for {
		select {
		case r := <-reports:
			if fits(r) {
				return r
			}
		case <-limit:
			require.FailNow(t, "did not come: "+what)
		}
	}
}

func link(l meter.Link) func(meter.Report) bool {
	return func(r meter.Report) bool { return r.Kind == meter.GotLink && r.Link == l }
}

func gotReading(r meter.Report) bool { return r.Kind == meter.GotReading }

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
			m := plug(t)
			m.Stream(50*time.Millisecond, lineOf(format))
			s, err := serial.Open(serial.Config{Name: m.Path(), Retry: 50 * time.Millisecond})
			require.NoError(t, err)
			reports, _ := follow(t, s)
			await(t, reports, time.Second, "opening", link(meter.Opening))
			await(t, reports, time.Second, "live", link(meter.Live))
			r := await(t, reports, time.Second, "a reading", gotReading).Reading
			assert.InDelta(t, 7.1, r.Value, 0.1)
			assert.Contains(t, m.Sent(), r.Raw+"\r\n")

			require.NoError(t, m.Cut())
			lost := await(t, reports, 3*time.Second, "lost", link(meter.Lost))
			assert.Contains(t, lost.Text, m.Path())
			assert.Error(t, lost.Err)
			require.NoError(t, m.Restore())
			await(t, reports, 3*time.Second, "live again", link(meter.Live))
			r = await(t, reports, time.Second, "a reading", gotReading).Reading
			assert.Contains(t, m.Sent(), r.Raw+"\r\n")

			m.Silence()
			quiet := await(t, reports, 3*time.Second, "quiet", link(meter.Quiet))
			assert.Contains(t, quiet.Text, "nothing arrives from the meter")
			m.Stream(50*time.Millisecond, lineOf(format))
			await(t, reports, time.Second, "live after silence", link(meter.Live))
		})
	}
}

// Fifty times unplugged and plugged in again: fifty recoveries, every reading
// one that was sent, nothing left behind.
func TestFiftyTimesUnplugged(t *testing.T) {
	m := plug(t)
	routines, files := runtime.NumGoroutine(), descriptors(t)
	m.Stream(10*time.Millisecond, lineOf("pH %.3f 25.1 C\r\n"))
	s, err := serial.Open(serial.Config{Name: m.Path(), Retry: 10 * time.Millisecond})
	require.NoError(t, err)
	reports, end := follow(t, s)
	readings := 0
	count := func(fits func(meter.Report) bool) func(meter.Report) bool {
		return func(r meter.Report) bool {
			if gotReading(r) {
				readings++
				assert.Contains(t, m.Sent(), r.Reading.Raw+"\r\n")
			}
			return fits(r)
		}
	}
	await(t, reports, time.Second, "live", count(link(meter.Live)))
	for i := range 50 {
		await(t, reports, time.Second, "a reading", count(gotReading))
		require.NoError(t, m.Cut())
		await(t, reports, 3*time.Second, fmt.Sprintf("lost %d", i), count(link(meter.Lost)))
		require.NoError(t, m.Restore())
		await(t, reports, 3*time.Second, fmt.Sprintf("live %d", i), count(link(meter.Live)))
	}
	end()
	assert.EqualValues(t, 50, s.Health().Reopened)
	t.Logf("50 recoveries, %d readings, all of them sent; %+v", readings, s.Health())
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

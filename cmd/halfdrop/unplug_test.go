//go:build unix

package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/run"
	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/meter/serial/serialtest"
	"example.org/halfdrop/meter/shelf"
)

// TestFiftyTimesUnpluggedInARun pulls the adapter of a recorded run fifty
// times: fifty recoveries, every reading in the journal one that was sent, no
// advice to add on a line that is away, and nothing left behind.
func TestFiftyTimesUnpluggedInARun(t *testing.T) {
	if testing.Short() {
		t.Skip("NOT RUN with -short: the line was not unplugged fifty times in a run, which takes half a minute of real time")
	}
	m, err := serialtest.New(t.TempDir())
	if err != nil {
		t.Skipf("NOT RUN: nothing was tried over a serial line, for there is no pseudo-terminal here: %v", err)
	}
	defer m.Close()
	routines, files := runtime.NumGoroutine(), openFiles(t)
	n := 0
	m.Stream(20*time.Millisecond, func() string { n++; return fmt.Sprintf("pH 4.%03d 21.0 C\r\n", 400+n%7) })
	path := filepath.Join(t.TempDir(), "run.jsonl")
	start := time.Now()
	first, err := run.Begin(builtIn(t), start, run.Origin{Program: madeBy(), Source: "fake"})
	require.NoError(t, err)
	log, err := shelf.CreateJournal(path, &first)
	require.NoError(t, err)
	keeper, err := run.NewKeeper(first, log, func(s float64) time.Time { return start.Add(time.Duration(s * 1e9)) })
	require.NoError(t, err)
	src, err := serial.Open(serial.Config{Name: m.Path(), Retry: 20 * time.Millisecond})
	require.NoError(t, err)
	s := run.NewSession(keeper, src, func() float64 { return time.Since(start).Seconds() }, nil)
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- s.Run(ctx) }()
	awaitLink(t, s, "live")
	for i := range 50 {
		require.NoError(t, m.Cut(), i)
		v := awaitLink(t, s, "lost")
		assert.NotEqual(t, "add", v.Advice.Do.String())
		require.NoError(t, m.Restore(), i)
		awaitLink(t, s, "live")
	}
	cancel()
	require.ErrorIs(t, <-ended, context.Canceled)
	m.Silence()
	require.NoError(t, log.Close())
	assert.EqualValues(t, 50, src.Health().Reopened)
	readings, lost := sentOnly(t, path, m.Sent())
	assert.Equal(t, 50, lost)
	t.Logf("50 recoveries in %.0f s, %d readings in the journal, all of them sent", time.Since(start).Seconds(), readings)
	for range 100 {
		if runtime.NumGoroutine() <= routines {
			break
		}
		time.Sleep(10 * time.Millisecond)
	}
	assert.LessOrEqual(t, runtime.NumGoroutine(), routines, "goroutines left behind")
	assert.LessOrEqual(t, openFiles(t), files, "descriptors left behind")
}

// sentOnly demands that every reading in a sound journal was sent, and counts
// the readings and the losses of the line.
func sentOnly(t *testing.T, path string, sent []string) (readings, lost int) {
	t.Helper()
	real := map[string]bool{}
	for _, s := range sent {
		real[strings.TrimRight(s, "\r\n")] = true
	}
	_, err := journal.ScanFile(path, func(e journal.Event) error {
		switch {
		case e.Kind == journal.Read:
			readings++
			require.True(t, real[e.Raw], "%q was never sent", e.Raw)
		case e.Kind == journal.LinkChange && e.Link.State == "lost":
			lost++
		}
		return nil
	})
	require.NoError(t, err)
	return readings, lost
}

func awaitLink(t *testing.T, s *run.Session, state string) run.View {
	t.Helper()
	limit := time.After(10 * time.Second)
	for {
		select {
		case v := <-s.Views():
			if v.Link == state {
				return v
			}
		case <-limit:
			require.FailNow(t, "the line never became "+state)
		}
	}
}

// openFiles is the number of open files of this process.
func openFiles(t *testing.T) int {
	t.Helper()
	entries, err := os.ReadDir("/proc/self/fd")
	if err != nil {
		t.Log("SKIPPED: descriptors cannot be counted without /proc/self/fd")
		return 0
	}
	return len(entries)
}

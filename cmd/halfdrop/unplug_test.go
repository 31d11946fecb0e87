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
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/session"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/serial"
	"example.org/halfdrop/meter/serial/serialtest"
	"example.org/halfdrop/meter/shelf"
)

// TestFiftyTimesUnpluggedInARun pulls the adapter of a recorded run fifty
// times: fifty recoveries, every reading in the journal one that was sent, no
// advice to add on a line that is away, and nothing left behind.
func TestFiftyTimesUnpluggedInARun(t *testing.T) {
	m := serialtest.Plug(t)
	routines, files := runtime.NumGoroutine(), openFiles(t)
	n := 0
	m.Stream(20*time.Millisecond, func() string { n++; return fmt.Sprintf("pH 4.%03d 21.0 C\r\n", 400+n%7) })
	r := onLine(t, m.Path())
	for i := range 50 {
		require.NoError(t, m.Cut(), i)
		v := r.await(t, "lost")
		assert.NotEqual(t, "add", v.Advice.Do.String())
		require.NoError(t, m.Restore(), i)
		r.await(t, "live")
	}
	r.end(t)
	m.Silence()
	readings, lost := sentOnly(t, r.path, m.Sent())
	assert.Equal(t, 50, lost)
	t.Logf("50 recoveries in %.0f s, %d readings in the journal, all of them sent", time.Since(r.start).Seconds(), readings)
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

// lineRun is a run of the built-in plan that reads a line of real time, with its journal.
type lineRun struct {
	path   string // of the journal
	start  time.Time
	source *serial.Source
	run    *session.Session
	log    *journal.Writer
	cancel context.CancelFunc
	ended  chan error
}

// onLine begins a run on a port, and waits until the line is live.
func onLine(t *testing.T, port string) *lineRun {
	t.Helper()
	r := &lineRun{path: filepath.Join(t.TempDir(), "run.jsonl"), start: time.Now(), ended: make(chan error, 1)}
	first, err := keep.Begin(builtIn(t), r.start, keep.Origin{Program: madeBy(), Source: port})
	require.NoError(t, err)
	r.log, err = shelf.CreateJournal(r.path, &first)
	require.NoError(t, err)
	keeper, err := keep.NewKeeper(first, r.log, func(s float64) time.Time { return r.start.Add(time.Duration(s * 1e9)) })
	require.NoError(t, err)
	r.source, err = serial.Open(serial.Config{Name: port, Retry: 20 * time.Millisecond})
	require.NoError(t, err)
	r.run = session.NewSession(keeper, r.source, func() float64 { return time.Since(r.start).Seconds() }, nil)
	ctx, cancel := context.WithCancel(t.Context())
	r.cancel = cancel
	go func() { r.ended <- r.run.Run(ctx) }()
	r.await(t, "live")
	return r
}

// await waits for a state of the line.
func (r *lineRun) await(t *testing.T, state string) view.View {
	t.Helper()
	limit := time.After(time.Minute)
	for {
		select {
		case v := <-r.run.Views():
			if v.Link == state {
				return v
			}
		case <-limit:
			require.FailNow(t, "the line never became "+state)
		}
	}
}

// end ends the run and closes its journal.
func (r *lineRun) end(t *testing.T) {
	t.Helper()
	r.cancel()
	require.ErrorIs(t, <-r.ended, context.Canceled)
	require.NoError(t, r.log.Close())
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

// Package stationtest opens a simulated bench on a pseudo-terminal for tests: the
// window in which somebody types beside the one that is tested.
package stationtest

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"testing"
	"time"

	"example.org/halfdrop/chem/coach"
	"example.org/halfdrop/meter"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/run/intent"
	"example.org/halfdrop/meter/run/keep"
	"example.org/halfdrop/meter/run/session"
	"example.org/halfdrop/meter/run/view"
	"example.org/halfdrop/meter/sim"
	"example.org/halfdrop/meter/station"
)

// Window is the simulated bench of one window: its port, and what is typed in it.
type Window struct {
	*station.Station
	Path string        // of the link to the port
	Keys io.Writer     // what is typed
	Talk *bytes.Buffer // what was said; to be read after Stop
	Stop func()        // at the end of the test by itself
}

// Demo is the bench of the built-in plan with seed 3.
func Demo(t testing.TB, sends sim.Sends, speed float64) *station.Station {
	t.Helper()
	plan, err := planfile.Decode("built-in plan", planfile.Demo)
	must(t, err)
	st, err := station.New(station.Of{Plan: plan, Sends: sends, Seed: 3, Speed: speed})
	must(t, err)
	return st
}

// Open serves a bench on a pseudo-terminal, a line every so often; the test is
// skipped where there is none.
func Open(t testing.TB, st *station.Station, every time.Duration) *Window {
	t.Helper()
	w := &Window{Station: st, Path: filepath.Join(t.TempDir(), "bench"), Talk: &bytes.Buffer{}}
	port, err := station.OpenPort(w.Path)
	if err != nil {
		t.Skipf("NOT RUN: nothing was tried over a serial line, for there is no pseudo-terminal here: %v", err)
	}
	in, keys := io.Pipe()
	w.Keys = keys
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- st.Serve(ctx, port, every, in, io.Discard, w.Talk) }()
	stopped := false
	w.Stop = func() {
		if stopped {
			return
		}
		stopped = true
		cancel()
		if err := <-done; err != nil {
			t.Errorf("the bench ended with %v", err)
		}
		keys.Close()
		if err := port.Close(); err != nil {
			t.Errorf("the port was closed with %v", err)
		}
		if _, err := os.Lstat(w.Path); !os.IsNotExist(err) {
			t.Errorf("the link was not taken away: %v", err)
		}
	}
	t.Cleanup(w.Stop)
	return w
}

// Titrate plays a run from the source in both windows until the coach says stop, and is
// its last word with the number of additions. It fails where it comes to no end in 90 s.
func (w *Window) Titrate(t testing.TB, keeper *keep.Keeper, source meter.Source) (last view.View, additions int) {
	t.Helper()
	session := session.NewSession(keeper, source, w.Clock.Seconds, nil)
	ctx, cancel := context.WithTimeout(context.Background(), 90*time.Second)
	defer cancel()
	ended := make(chan error, 1)
	go func() { ended <- session.Run(ctx) }()
	last, additions = w.follow(session)
	cancel()
	<-ended
	if last.Advice.Do != coach.Stop {
		t.Fatalf("it came to no end: %s, %s", last.Sentence(), last.Why())
	}
	return last, additions
}

// follow does what the coach says, in both windows, until it says stop, and is
// its last word with the number of additions.
func (w *Window) follow(session *session.Session) (last view.View, additions int) {
	for v := range session.Views() {
		last = v
		switch v.Advice.Do {
		case coach.Stop:
			return last, additions
		case coach.Check:
			session.Post(intent.Intent{Kind: intent.Confirm})
		case coach.Add:
			if len(v.Entries) < additions {
				continue // the one just made is not in the view yet
			}
			additions++
			amount := fmt.Sprintf("%g drops", v.Advice.Drops)
			if v.Advice.Drops == 0 {
				amount = fmt.Sprintf("%g mL", v.Advice.Volume.Millilitres())
			}
			fmt.Fprintf(w.Keys, "%s of %s\n", amount, v.Titrant)
			session.Post(intent.Intent{Kind: intent.Add, Titrant: v.Titrant, Drops: v.Advice.Drops, ML: v.Advice.Volume.Millilitres()})
		}
	}
	return last, additions
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

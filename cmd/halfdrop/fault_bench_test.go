//go:build unix

package main

import (
	"encoding/json"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/serial/serialtest"
	"github.com/creack/pty"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const faultEvery = 200 * time.Millisecond

// faultBench is a meter, the program that reads it, and the screen.
type faultBench struct {
	meter         *serialtest.Meter
	every         time.Duration // between two lines of it
	at            atomic.Int64  // pH the meter shows, hundredths
	lines         atomic.Int64
	plan, journal string
	tty           *os.File
	seen          *watched
	wait          func() error
}

// steady is the next line of a sound meter.
func (b *faultBench) steady() string {
	wobble := []int64{0, 0, 1, 0, 0, -1, 0}[b.lines.Add(1)%7]
	return fmt.Sprintf("pH %.2f 21.0 C\r\n", float64(b.at.Load()+wobble)/100)
}

func (b *faultBench) sound() { b.meter.Stream(b.every, b.steady) }

func newFaultBench(t *testing.T, row faultRow) *faultBench {
	t.Helper()
	dir := t.TempDir()
	m := serialtest.Plug(t)
	b := &faultBench{meter: m, every: faultEvery, plan: filepath.Join(dir, "plan.toml"), journal: filepath.Join(dir, "run.jsonl")}
	b.at.Store(440)
	m.Speak(9600)
	require.NoError(t, os.WriteFile(b.plan, planfile.Demo, 0o600))
	args := []string{"titrate", "--port", m.Path(), "--plan", b.plan, "--journal", b.journal}
	if row.query != "" {
		args = append(args, "--query", row.query)
	}
	if row.slow {
		b.every /= quick
	}
	switch {
	case row.first != nil:
		row.first(m)
	default:
		b.sound()
	}
	c := program(t, args...)
	c.Env = append(c.Env, "TERM=xterm-256color", "LC_ALL=C.UTF-8", "CI=1", "XDG_DATA_HOME="+dir)
	if row.slow {
		c.Env = append(c.Env, fmt.Sprintf("%s=%d", clockEnv, quick))
	}
	var err error
	b.tty, err = pty.StartWithSize(c, &pty.Winsize{Cols: 80, Rows: 24})
	require.NoError(t, err)
	b.wait = c.Wait
	b.seen = newWatched(b.tty)
	t.Cleanup(func() {
		_ = c.Process.Kill()
		_ = b.tty.Close()
	})
	return b
}

func (b *faultBench) press(keys string) { _, _ = io.WriteString(b.tty, keys) }

// follow records the addition that is advised, by Enter: again where a machine is so busy
// that the reading had just become an old one, for which no order stands.
func (b *faultBench) follow(t *testing.T) {
	t.Helper()
	for end := time.Now().Add(patience); time.Now().Before(end); {
		b.awaitWords(t, "ADD")
		b.press("\r")
		if b.shows("recorded:", 10*time.Second) {
			return
		}
	}
	require.FailNow(t, "no addition is recorded", b.seen.now())
}

// patience is for how long words are waited for: on a busy machine they come late.
const patience = 3 * time.Minute

func (b *faultBench) awaitWords(t *testing.T, words string) {
	t.Helper()
	if !b.shows(words, patience) {
		require.FailNow(t, "the screen never says "+words, b.seen.now())
	}
}

// shows reports whether the screen says something within a time.
func (b *faultBench) shows(words string, within time.Duration) bool {
	for end := time.Now().Add(within); time.Now().Before(end); b.seen.watch(50 * time.Millisecond) {
		if strings.Contains(b.seen.now(), words) {
			return true
		}
	}
	return false
}

// close ends the program as a person would.
func (b *faultBench) close(t *testing.T) {
	t.Helper()
	b.press("q")
	b.seen.watch(200 * time.Millisecond)
	b.press("y")
	var exit *exec.ExitError
	require.ErrorAs(t, b.wait(), &exit)
	assert.Equal(t, manners.ExitMissed, exit.ExitCode(), "the aim was not reached")
}

// tell logs what was advised, recorded and said of the line, with the times of the
// journal, so that a row that fails on a machine elsewhere can be understood. The
// fault began after the second given.
func (b *faultBench) tell(t *testing.T, fault float64) {
	t.Helper()
	t.Logf("the journal; the fault began after %.1f s", fault)
	for _, e := range b.soFar() {
		switch e.Kind {
		case journal.Advised:
			t.Logf("%7.1f s  %s (%s) %g drops of %q, at pH %.2f, settled %v: %s", e.T, e.Advice.Do, e.Advice.Reason, e.Advice.Drops, e.Advice.Titrant, e.Advice.PH, e.Advice.Settled, e.Advice.Why)
		case journal.LinkChange:
			t.Logf("%7.1f s  line %s: %s", e.T, e.Link.State, e.Link.Note)
		case journal.Added, journal.Undone:
			t.Logf("%7.1f s  %s", e.T, e.Kind)
		}
	}
}

// last is the time of the last event on disk.
func (b *faultBench) last() float64 {
	if all := b.soFar(); len(all) > 0 {
		return all[len(all)-1].T
	}
	return 0
}

// soFar is events without a test that fails: as far as they can be read by now.
func (b *faultBench) soFar() (out []journal.Event) {
	data, _ := os.ReadFile(b.journal)
	for line := range strings.Lines(string(data)) {
		var e journal.Event
		if json.Unmarshal([]byte(line), &e) != nil {
			return out
		}
		out = append(out, e)
	}
	return out
}

func (b *faultBench) events(t *testing.T) (out []journal.Event) {
	t.Helper()
	data, err := os.ReadFile(b.journal)
	require.NoError(t, err)
	for line := range strings.Lines(string(data)) {
		var e journal.Event
		require.NoError(t, json.Unmarshal([]byte(line), &e))
		out = append(out, e)
	}
	return out
}

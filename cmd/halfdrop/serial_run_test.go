//go:build unix

package main

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"example.org/halfdrop/chem/recipe"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/serial/serialtest"
	"example.org/halfdrop/meter/sim"
	"github.com/stretchr/testify/require"
)

// quick is how many times faster the clock of bench and program runs where a test waits
// for an electrode.
const quick = 4

// plate is a simulated bench behind a fake meter on a pseudo-terminal, in real time.
type plate struct {
	mu    sync.Mutex
	bench *sim.Bench
	start time.Time
}

// line is what the meter sends now.
func (p *plate) line() string {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.bench.Advance(quick * time.Since(p.start).Seconds())
	r := p.bench.Sample()
	return fmt.Sprintf("pH %.*f %.1f C\r\n", r.Decimals, r.Value, r.TempC)
}

func (p *plate) add(t *testing.T, titrant string, drops float64) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.bench.Advance(quick * time.Since(p.start).Seconds())
	require.NoError(t, p.bench.Dispense(titrant, drops, 0))
}

// TestRunOverSerialLine is a whole run of the real program on a pseudo-terminal,
// with the line cut and restored in the middle.
func TestRunOverSerialLine(t *testing.T) {
	if testing.Short() {
		t.Skip("NOT RUN with -short: no whole run over a pseudo-terminal, which takes some twenty seconds of real time")
	}
	t.Parallel() // it mostly waits
	wide := builtIn(t)
	*wide.Target.Tolerance = 0.2
	setup, err := recipe.Compile(wide)
	require.NoError(t, err)
	truth := sim.DefaultTruth(setup, 7)
	truth.Tau, truth.Mixing, truth.SlowShare = 0.6, 0.3, 0 // a quick electrode and a wide tolerance, to keep the test short
	b, err := sim.New(setup, truth)
	require.NoError(t, err)
	p := &plate{bench: b, start: time.Now()}
	m := serialtest.Plug(t)
	m.Stream(100*time.Millisecond/quick, p.line)

	dir := t.TempDir()
	plan := filepath.Join(dir, "plan.toml")
	require.NoError(t, os.WriteFile(plan, bytes.Replace(planfile.Demo, []byte("tolerance = 0.02"), []byte("tolerance = 0.2"), 1), 0o600))
	journalPath := filepath.Join(dir, "run.jsonl")
	cmd := program(t, "titrate", "--port", m.Path(), "--plan", plan, "--journal", journalPath, "--plain")
	cmd.Env = append(cmd.Env, fmt.Sprintf("%s=%d", clockEnv, quick))
	in, err := cmd.StdinPipe()
	require.NoError(t, err)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	cmd.Stderr = os.Stderr
	require.NoError(t, cmd.Start())
	defer cmd.Process.Kill()
	said := make(chan string, 100)
	go func() {
		for s := bufio.NewScanner(out); s.Scan(); {
			said <- s.Text()
		}
		close(said)
	}()

	adds, cut := 0, false
	for done := false; !done; {
		line := next(t, said)
		t.Log(line)
		var drops float64
		var name string
		switch {
		case strings.HasPrefix(line, "ADD"):
			drops, name = dose(t, line)
			p.add(t, name, drops)
			_, err := io.WriteString(in, fmt.Sprintf("%g %s\n", drops, name))
			require.NoError(t, err)
			adds++
		case strings.HasPrefix(line, "recorded") && !cut:
			cut = true
			cutAndRestore(t, m, said)
		case strings.HasPrefix(line, "DONE"):
			io.WriteString(in, "q\ny\n")
			done = true
		}
	}
	for line := range said {
		t.Log(line)
	}
	require.NoError(t, cmd.Wait())
	require.True(t, cut)
	require.GreaterOrEqual(t, adds, 2)
	require.InDelta(t, setup.Target, b.MadeUp(), setup.Tolerance+0.005)
	check := program(t, "check", journalPath)
	report, err := check.CombinedOutput()
	require.NoError(t, err, string(report))
	t.Logf("%s", report)
	require.Contains(t, string(report), "sound")
}

// cutAndRestore pulls the adapter, waits for the words, and plugs it in again.
func cutAndRestore(t *testing.T, m *serialtest.Meter, said <-chan string) {
	t.Helper()
	require.NoError(t, m.Cut())
	began := time.Now()
	for {
		line := next(t, said)
		t.Log(line)
		require.False(t, strings.HasPrefix(line, "ADD"), "nothing is advised on a silent line: %s", line)
		if strings.Contains(line, "silent") || strings.Contains(line, "gone") || strings.Contains(line, "lost") {
			break
		}
	}
	require.Less(t, time.Since(began), 4*time.Second, "said within 3 s, with room for a busy machine")
	require.NoError(t, m.Restore())
}

func next(t *testing.T, said <-chan string) string {
	t.Helper()
	select {
	case line, ok := <-said:
		require.True(t, ok, "the program ended too early")
		return line
	case <-time.After(150 * time.Second):
		t.Fatal("the program said nothing for 150 s")
		return ""
	}
}

// dose reads "ADD 6 drops of NaOH 1 M. …" or "ADD 52 drops (2.60 mL) of NaOH 1 M. …".
func dose(t *testing.T, line string) (drops float64, name string) {
	t.Helper()
	head, rest, ok := strings.Cut(strings.TrimPrefix(line, "ADD "), " of ")
	require.True(t, ok, line)
	_, err := fmt.Sscanf(head, "%g drop", &drops)
	require.NoError(t, err, line)
	name, _, _ = strings.Cut(rest, ". ")
	return drops, name
}

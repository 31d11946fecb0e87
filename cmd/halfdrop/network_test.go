//go:build unix

package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/halfdrop/cmd/manners"
	"example.org/halfdrop/meter/journal"
	"example.org/halfdrop/meter/planfile"
	"example.org/halfdrop/meter/serial/serialtest"
)

// TestCutAndStallOverTheNetwork pulls the serial server of a recorded run twenty
// times and lets it stall once: the states, the words and the record are those
// of a cable, and nothing is added on a line that is away.
func TestCutAndStallOverTheNetwork(t *testing.T) {
	b, err := serialtest.NewBridge()
	require.NoError(t, err)
	defer b.Close()
	n := 0
	next := func() string { n++; return fmt.Sprintf("pH 4.%03d 21.0 C\r\n", 400+n%7) }
	b.Stream(20*time.Millisecond, next)
	r := onLine(t, b.Name())
	for range 20 {
		b.Down()
		v := r.await(t, "lost")
		assert.NotEqual(t, "add", v.Advice.Do.String())
		assert.Equal(t, "WAIT no signal from the meter", v.Sentence())
		assert.Contains(t, v.Why(), "the connection is lost: check the network")
		require.NoError(t, b.Up())
		r.await(t, "live")
	}
	b.Silence()
	v := r.await(t, "quiet")
	assert.NotEqual(t, "add", v.Advice.Do.String())
	assert.Contains(t, v.Why(), "nothing arrives over the network")
	b.Stream(20*time.Millisecond, next)
	r.await(t, "live")
	r.end(t)
	b.Silence()
	readings, lost := sentOnly(t, r.path, b.Sent())
	assert.Equal(t, 20, lost)
	t.Logf("20 cuts and a stall in %.0f s, %d readings in the journal, all of them sent", time.Since(r.start).Seconds(), readings)
}

// Lines on standard input are a meter; their end is said, and ends the run where
// nobody can type.
func TestLinesOnStandardInput(t *testing.T) {
	if testing.Short() {
		t.Skip("NOT RUN with -short: the real program was not run over TCP, which takes seconds of real time")
	}
	dir := t.TempDir()
	plan := filepath.Join(dir, "p.toml")
	require.NoError(t, os.WriteFile(plan, planfile.Demo, 0o600))
	c := program(t, "titrate", "--plain", "--port", "-", "--plan", plan, "--journal", filepath.Join(dir, "run.jsonl"), "--electrode", "E9")
	c.Env = append(c.Env, "XDG_DATA_HOME="+dir)
	c.SysProcAttr = &syscall.SysProcAttr{Setsid: true} // without a terminal
	in, err := c.StdinPipe()
	require.NoError(t, err)
	var out bytes.Buffer
	c.Stdout, c.Stderr = &out, &out
	require.NoError(t, c.Start())
	for i := range 5 {
		_, err := fmt.Fprintf(in, "pH 5.3%d 21.0 C\n", i)
		require.NoError(t, err)
		time.Sleep(300 * time.Millisecond)
	}
	require.NoError(t, in.Close())
	var exit *exec.ExitError
	require.ErrorAs(t, c.Wait(), &exit, out.String())
	assert.Equal(t, manners.ExitMissed, exit.ExitCode(), "the aim was not reached")
	assert.Contains(t, out.String(), "pH 5.3")
	r, err := journal.CheckFile(filepath.Join(dir, "run.jsonl"))
	require.NoError(t, err)
	assert.True(t, r.Sound() && r.Ended, "%v", r.Faults)
	readings, lost, electrode := 0, 0, ""
	_, err = journal.ScanFile(filepath.Join(dir, "run.jsonl"), func(e journal.Event) error {
		if e.Kind == journal.Read {
			readings++
		}
		if e.Note != nil {
			electrode = e.Note.Electrode
		}
		if e.Link != nil && e.Link.State == "lost" {
			lost++
			assert.Contains(t, e.Link.Note, "standard input has ended")
		}
		return nil
	})
	require.NoError(t, err)
	assert.Equal(t, 5, readings, "the first line is one as well")
	assert.Equal(t, 1, lost)
	assert.Equal(t, "E9", electrode, "the record names the electrode, of which no calibration is known")
}

// What is said by flags is plain text.
func TestFlagsArePlainText(t *testing.T) {
	for _, args := range [][]string{
		{"titrate", "--sim", "--operator", "a\x1b[2J"}, {"titrate", "--sim", "--electrode", "a\nb"}, {"calibrate", "--sim", "--operator", "\u202e"}, {"calibrate", "--sim", "--lot", "7.00=\x07"},
	} {
		out, err := program(t, args...).CombinedOutput()
		require.Error(t, err, args)
		assert.Contains(t, string(out), "which is not text", args)
		assert.NotContains(t, string(out), "\x1b", args)
	}
}

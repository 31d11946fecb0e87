//go:build linux || darwin

package main

import (
	"bufio"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.org/halfdrop/cmd/manners"
	"github.com/charmbracelet/x/ansi"
	"github.com/creack/pty"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The screen on a real pseudo-terminal: Enter at each prompt, the result on the
// terminal after the screen has gone.
func TestCalibrateOnAScreen(t *testing.T) {
	cmd := program(t, "calibrate", "--sim", "--seed", "4", "--speed", "60", "--standards", "7.00,4.01", "--electrode", "E7")
	cmd.Env = append(cmd.Env, "TERM=xterm-256color", "CI=1")
	tty, err := pty.StartWithSize(cmd, &pty.Winsize{Rows: 24, Cols: 80})
	if err != nil {
		t.Skipf("NOT RUN: the screen of a calibration was not tried, for there is no pseudo-terminal here: %v", err)
	}
	defer tty.Close()
	require.NoError(t, tty.SetDeadline(time.Now().Add(40*time.Second)))
	var seen strings.Builder
	buf := make([]byte, 4096)
	next := 1
	for {
		n, err := tty.Read(buf)
		seen.Write(buf[:n])
		if next <= 2 && strings.Contains(ansi.Strip(seen.String()), fmt.Sprintf("then Enter (%d of 2)", next)) {
			_, err := tty.Write([]byte("\r"))
			require.NoError(t, err)
			next++
		}
		if err != nil {
			break // the far end has gone
		}
	}
	require.NoError(t, cmd.Wait(), ansi.Strip(seen.String()))
	all := seen.String()
	_, after, ok := strings.Cut(all, "\x1b[?1049l")
	require.True(t, ok, "the terminal is given back")
	assert.Contains(t, after, "accepted")
	assert.Contains(t, after, "USP <791>")
	assert.Contains(t, ansi.Strip(all), "Calibration of electrode E7")
	_, err = os.Stat("calibrations.jsonl")
	assert.ErrorIs(t, err, os.ErrNotExist)
}

// Ctrl-C in the middle: status 130, and nothing kept.
func TestCalibrateInterrupted(t *testing.T) {
	file := filepath.Join(t.TempDir(), "history.jsonl")
	cmd := program(t, "calibrate", "--sim", "--plain", "--file", file)
	in, err := cmd.StdinPipe() // stays open, as a keyboard does
	require.NoError(t, err)
	defer in.Close()
	talk, err := cmd.StderrPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	said := ""
	for sc := bufio.NewScanner(talk); sc.Scan(); {
		said += sc.Text() + "\n"
		if strings.Contains(sc.Text(), "Enter when it is in") {
			require.NoError(t, cmd.Process.Signal(os.Interrupt))
		}
	}
	var exit *exec.ExitError
	require.ErrorAs(t, cmd.Wait(), &exit)
	assert.Equal(t, manners.ExitInterrupted, exit.ExitCode(), said)
	assert.Contains(t, said, "nothing was kept")
	_, err = os.Stat(file)
	assert.ErrorIs(t, err, os.ErrNotExist)
}
